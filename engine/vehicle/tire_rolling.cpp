// How far a tire rolls in one turn in the state it is in, and how sure that is.
//
// The shares and spreads here are from memory: published figures for one size differ by about 1.5 %
// between makers, pressures and states of wear.
#include <algorithm>
#include <cmath>
#include <optional>

#include "engine/vehicle/tire.h"

namespace perrev {

namespace {

constexpr double kMetresPerMile = 1609.344;

// Relative spreads, one standard deviation. Together sqrt(0.7^2 + 1.0^2 + 0.87^2) = 1.5 %.
constexpr double kMakerSd = 0.007;
constexpr double kTreadUnknownSd = 0.010;
constexpr double kPressureUnknownSd = 0.0087;

constexpr double kUsualNewTread = 0.008;  // m
constexpr double kDeepestTread = 0.030;   // m; more is a slip of the pen

constexpr double kLowestPlacard = 50e3, kHighestPressure = 2e6;  // Pa; outside is a slip as well

// The belt of a radial fixes most of its circumference: worn, it loses only a part of what its
// diameter loses.
struct WearShare {
  double mean, sd;
};
constexpr WearShare kRadialWear{0.6, 0.25};
constexpr WearShare kBiasWear{0.9, 0.2};

// Relative change of circumference for the pressure over the placard's, and how unsure that is: a
// tire 20 % low rolls about 0.4 % shorter.
constexpr double kPressureEffect = 0.02;
constexpr double kPressureEffectUnsure = 0.5;

struct Change {
  double relative;
  double sd;
};

std::optional<double> within(const std::optional<double>& value, double low, double high) {
  return value && *value >= low && *value <= high ? value : std::nullopt;
}

Change change_by_wear(const Tire& tire, const TireState& state) {
  const auto depth = within(state.tread_depth, 0.0, kDeepestTread);
  if (!depth) return {0.0, kTreadUnknownSd};
  const double when_new =
      within(state.new_tread_depth, 0.0, kDeepestTread).value_or(kUsualNewTread);
  const double worn = std::max(0.0, when_new - *depth);
  const double geometric = 2.0 * worn / tire.outer_diameter;
  const WearShare share = tire.construction == TireConstruction::radial ? kRadialWear : kBiasWear;
  return {-share.mean * geometric, share.sd * geometric};
}

Change change_by_pressure(const TireState& state) {
  constexpr double kLowest = 0.3, kHighest = 2.0;  // beyond, the linear law means nothing
  const auto found = within(state.pressure, 0.0, kHighestPressure);
  const auto placard = within(state.placard_pressure, kLowestPlacard, kHighestPressure);
  if (!found || !placard) return {0.0, kPressureUnknownSd};
  const double over = *found / *placard;
  const double change = kPressureEffect * (std::clamp(over, kLowest, kHighest) - 1.0);
  return {change, kPressureEffectUnsure * std::fabs(change)};
}

}  // namespace

double Tire::turns_per_km() const { return 1000.0 / rolling_circumference; }

double Tire::turns_per_mile() const { return kMetresPerMile / rolling_circumference; }

Estimate rolling_circumference(const Tire& tire, const TireState& state) {
  const Change wear = change_by_wear(tire, state);
  const Change pressure = change_by_pressure(state);
  const double mean =
      tire.rolling_circumference * (1.0 + wear.relative) * (1.0 + pressure.relative);
  const double relative = std::sqrt(kMakerSd * kMakerSd + tire.size_sd * tire.size_sd +
                                    wear.sd * wear.sd + pressure.sd * pressure.sd);
  return {mean, mean * relative};
}

}  // namespace perrev
