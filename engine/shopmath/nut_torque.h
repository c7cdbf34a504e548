// Wheel nuts of one wheel, read with a torque wrench against what the maker states: how far each is
// below, how uneven they are, and which are loose. N m.
//
// A nut is read by turning it on until it moves; what it moves at counts. Shares are of the stated
// torque; intervals are the wrench's permissible deviation, 4 % above 10 N m (ISO 6789-1).
#pragma once

#include <vector>

#include "engine/result.h"
#include "engine/shopmath/scatter.h"

namespace perrev {

inline constexpr double kWrenchDeviation = 0.04;
// From memory: a nut that moves under half of the stated torque was loose; one under 80 % is low,
// one over 125 % too tight; a wheel is uneven where nuts differ by more than a quarter.
inline constexpr double kLooseNut = 0.5, kLowNut = 0.8, kTightNut = 1.25, kUnevenNuts = 0.25;

enum class NutState { missing, loose, low, sound, too_tight };

struct WheelNuts {
  std::vector<NutState> states;  // in the order read
  std::vector<Interval> below;   // share below the stated torque; negative: above
  Interval spread;               // highest less lowest, as a share of the stated torque
  std::size_t count_of(NutState state) const;
};

// A reading of 0 is a nut that is missing or turns by hand. A problem where the numbers are no
// wheel's: 3 to 12 nuts, 20 to 1000 N m stated, none above four times that.
Result<WheelNuts> wheel_nuts(const std::vector<double>& readings, double stated);

}  // namespace perrev
