// Tread over a tire's width, and play of a wheel bearing: differences of readings with one gauge.
//
// m; intervals of 95 %.
#pragma once

#include <vector>

#include "engine/result.h"
#include "engine/shopmath/repeated_readings.h"

namespace perrev {

struct TreadAcross {
  Interval least;            // of the main grooves
  Interval inside_less;      // outside less inside: positive where the inside is worn more
  Interval shoulders_less;   // middle less both shoulders: positive where the shoulders are worn
  bool under_legal = false;  // of the reading itself
};
// Readings of each main groove from the inside to the outside, 2 to 8 grooves. `legal` as the user
// enters it. The least is picked by its reading, so it tends to be a little small.
Result<TreadAcross> tread_across(const std::vector<std::vector<double>>& grooves,
                                 const ReadingGauge& gauge, double legal);

// Readings of a dial on the hub, pushed in and pulled out, each once or more.
Result<Interval> bearing_play(const std::vector<double>& pushed, const std::vector<double>& pulled,
                              const ReadingGauge& dial);

// Adjusted taper rollers run with play; tighter they run hot (common practice).
inline constexpr double kLeastTaperPlay = 0.025e-3;

}  // namespace perrev
