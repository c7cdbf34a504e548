#include "engine/vehicle/beating.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace perrev {

namespace {

// Relative, one standard deviation; from memory.
constexpr double kAlikeSd = 0.002;            // two tires of one size and make
constexpr double kOtherSizeSd = 0.01;         // of two sizes: each 0.7 % by maker
constexpr double kTreadUnknownSd = 0.002;     // a millimetre of wear more or less
constexpr double kPressureUnknownSd = 0.001;  // 5 % of pressure more or less
// How unsure the effects are, of their size: 0.25 of 0.6 for wear, half for pressure
// (tire_rolling.cpp).
constexpr double kWearUnsure = 0.42;
constexpr double kPressureUnsure = 0.5;

double relative(double one, double other) { return 2.0 * (one - other) / (one + other); }

double share_of_wear(const Tire& tire) {
  TireState worn;
  worn.new_tread_depth = 0.002;
  worn.tread_depth = 0.001;
  const double change =
      1.0 - rolling_circumference(tire, worn).mean / rolling_circumference(tire, {}).mean;
  return change / difference_by_tread(0.001, tire.outer_diameter);
}

bool both_treads(const TireState& one, const TireState& other) {
  return one.tread_depth && other.tread_depth;
}
bool both_pressures(const TireState& one, const TireState& other) {
  return one.pressure && other.pressure;
}

double by_tread(const Tire& one, const TireState& one_state, const Tire& other,
                const TireState& other_state) {
  if (!both_treads(one_state, other_state)) return 0.0;
  const double deeper = std::max(*one_state.tread_depth, *other_state.tread_depth);
  const auto change = [&](const Tire& tire, const TireState& state) {
    TireState worn;
    worn.tread_depth = state.tread_depth;
    worn.new_tread_depth = deeper;
    return rolling_circumference(tire, worn).mean / tire.rolling_circumference;
  };
  return change(one, one_state) - change(other, other_state);
}

double by_pressure(const Tire& one, const TireState& one_state, const Tire& other,
                   const TireState& other_state) {
  if (!both_pressures(one_state, other_state)) return 0.0;
  const double higher = std::max(*one_state.pressure, *other_state.pressure);
  const auto change = [&](const Tire& tire, const TireState& state) {
    TireState filled;
    filled.pressure = state.pressure;
    filled.placard_pressure = higher;
    return rolling_circumference(tire, filled).mean / tire.rolling_circumference;
  };
  return change(one, one_state) - change(other, other_state);
}

}  // namespace

double beat_hz(double one_hz, double other_hz) { return std::fabs(one_hz - other_hz); }

double beat_period(double one_hz, double other_hz) {
  const double hz = beat_hz(one_hz, other_hz);
  return hz > 0.0 ? 1.0 / hz : std::numeric_limits<double>::infinity();
}

double difference_by_tread(double depth_difference, double outer_diameter) {
  return 2.0 * depth_difference / outer_diameter;
}

Estimate circumference_difference(const Tire& one, const TireState& one_state, const Tire& other,
                                  const TireState& other_state) {
  const double size = relative(one.rolling_circumference, other.rolling_circumference);
  const double tread = by_tread(one, one_state, other, other_state);
  const double pressure = by_pressure(one, one_state, other, other_state);
  const double alike =
      one.rolling_circumference == other.rolling_circumference ? kAlikeSd : kOtherSizeSd;
  const double tread_sd =
      both_treads(one_state, other_state) ? kWearUnsure * tread : kTreadUnknownSd;
  const double pressure_sd =
      both_pressures(one_state, other_state) ? kPressureUnsure * pressure : kPressureUnknownSd;
  return {size + tread + pressure,
          std::sqrt(alike * alike + tread_sd * tread_sd + pressure_sd * pressure_sd)};
}

bool can_be_compared(const Tire& one, const TireState& one_state, const Tire& other,
                     const TireState& other_state) {
  return one.rolling_circumference != other.rolling_circumference ||
         both_treads(one_state, other_state) || both_pressures(one_state, other_state);
}

BehindBeat behind_beat(double period, double speed, const Tire& tire) {
  BehindBeat out;
  out.relative = tire.rolling_circumference / (speed * period);
  out.circumference = out.relative * tire.rolling_circumference;
  out.tread_depth = out.relative * tire.outer_diameter / 2.0;
  out.tread_depth_belt = out.tread_depth / share_of_wear(tire);
  return out;
}

}  // namespace perrev
