// How far round the four tires of a vehicle differ: between axles, across an axle, and what that
// does to a drive that turns both axles.
//
// Circumferences are of what rolls, in m: taped round the tread at one pressure, or marks on the
// floor over some turns divided by those. Where none was measured, sizes, tread depths and
// pressures say what they can (engine/vehicle/beating.h). Differences are relative to the mean of
// what is compared, one less the other: front less rear, left less right. Intervals of 95 %.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/repeated_readings.h"
#include "engine/vehicle/tire.h"

namespace perrev {

// In this order everywhere here.
enum class WheelPlace { front_left, front_right, rear_left, rear_right };
inline constexpr std::size_t kWheels = 4;

struct CircumferenceDifferences {
  Interval between_axles, across_front, across_rear;
  // Of the two wheels that differ most, the larger less the smaller.
  Interval most;
  WheelPlace larger = WheelPlace::front_left, smaller = WheelPlace::front_right;
  double mean = 0.0;  // m, of all four
};

// One reading or more of each wheel, m. `most` is picked among six by its readings, so it tends to
// be a little large; the others hold what is true in 95 %.
Result<CircumferenceDifferences> circumference_differences(
    const std::array<std::vector<double>, kWheels>& readings, const ReadingGauge& gauge);

struct TireOnWheel {
  Tire tire;
  TireState state;
};
// By size, tread and pressure. What two wheels have in common is taken to be wrong alike, so an
// interval between axles is rather wide than narrow. A problem where nothing can be compared.
Result<CircumferenceDifferences> circumference_differences(
    const std::array<TireOnWheel, kWheels>& wheels);

// How far the two sides of a centre coupling slip past one another, turns a second, at a road speed
// (m/s): shafts turn `axle_ratio` times a wheel, alike at both axles. Positive: the front shaft
// turns faster.
Interval coupling_slip(const CircumferenceDifferences& of, double speed, double axle_ratio);

// Two wheels that differ by so much, at a speed: how often they swell a second, and how long one
// swelling lasts, infinite where they may be equal.
struct WheelBeat {
  Interval hz, period;
};
WheelBeat wheel_beat(const Interval& difference, double circumference, double speed);

}  // namespace perrev
