// Runout by the dial: readings round a turn, or the total alone.
//
// Lengths in m, angles in rad from the mark. Amounts are peak to peak (total indicated);
// eccentricity is an amplitude, half of the first harmonic's peak to peak: common practice.
#pragma once

#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/turn_fit.h"

namespace perrev {

// Nothing that still turns in a bay runs out farther (ours).
inline constexpr double kMostRunout = 0.025;

struct RunoutReadings {
  std::vector<double> readings = {};  // none: only the total was read
  std::vector<double> angles = {};    // empty: evenly spaced from the mark on
  std::optional<double> total = {};   // total indicated: the dial's whole swing over the turn
  Gauge gauge = {};                   // of the total alone, one step has to be known
  std::optional<int> harmonics = {};
};

struct Runout {
  Interval total;         // indicated: as read, else highest less lowest reading
  Interval eccentricity;  // amplitude; of the total alone only its high end says something
  std::optional<TurnFit> fit;
  bool coarse = false;  // the dial's step is more than a fifth of the total
};

Result<Runout> read_runout(const RunoutReadings& of);

}  // namespace perrev
