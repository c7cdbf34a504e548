// Two turning parts of nearly one frequency: how what they shake swells and fades, and for two
// wheels what difference of size is behind it.
//
// Two tones f1, f2 swell |f1 - f2| times a second (exact). Wheels on one road turn at v / C1 and
// v / C2, so a relative difference d of the circumferences swells d v / C times a second. Lengths
// in m, speeds m/s, times s, pressures Pa; differences are relative to the mean of the two.
#pragma once

#include "engine/vehicle/tire.h"

namespace perrev {

double beat_hz(double one_hz, double other_hz);
// Infinity where the two are equal.
double beat_period(double one_hz, double other_hz);

// How much more circumference that much more tread makes where the whole diameter follows the
// wear. The belt of a radial holds on to a part of it: see circumference_difference.
double difference_by_tread(double depth_difference, double outer_diameter);

// What is known of both wheels, one less the other; what is known of one alone says nothing. Two
// tires of one size, depth and pressure still differ by about 0.2 % (from memory). Shares of wear
// and pressure as in rolling_circumference.
Estimate circumference_difference(const Tire& one, const TireState& one_state, const Tire& other,
                                  const TireState& other_state);
// Whether something of both wheels is known that could make them differ.
bool can_be_compared(const Tire& one, const TireState& one_state, const Tire& other,
                     const TireState& other_state);

// What would make two wheels swell once in `period`.
struct BehindBeat {
  double relative = 0.0;
  double circumference = 0.0;     // m of difference
  double tread_depth = 0.0;       // m of difference, where the whole diameter follows the wear
  double tread_depth_belt = 0.0;  // m, where the belt holds on to its part: the more likely one
};
BehindBeat behind_beat(double period, double speed, const Tire& tire);

inline constexpr double kThirtySecond = 0.0254 / 32.0;  // m, as tread gauges read

}  // namespace perrev
