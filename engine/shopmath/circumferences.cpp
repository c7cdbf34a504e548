#include "engine/shopmath/circumferences.h"

#include <algorithm>
#include <cmath>

#include "engine/vehicle/beating.h"

namespace perrev {
namespace {

constexpr double kSmallestWheel = 0.8, kLargestWheel = 6.0;  // m round

// A relative difference of two wheels or pairs, with its interval.
using WheelWeights = std::array<double, kWheels>;
constexpr WheelWeights kBetweenAxles{0.5, 0.5, -0.5, -0.5};
constexpr WheelWeights kAcrossFront{1.0, -1.0, 0.0, 0.0};
constexpr WheelWeights kAcrossRear{0.0, 0.0, 1.0, -1.0};

Interval relative_to_mean(const PlaceMeans& means, const WheelWeights& weights) {
  double mean = 0.0, parts = 0.0;
  for (std::size_t i = 0; i < kWheels; ++i) {
    mean += std::fabs(weights[i]) * means.means[i];
    parts += std::fabs(weights[i]);
  }
  mean /= parts;
  const Interval metres = means.interval({weights.begin(), weights.end()});
  return {metres.value / mean, metres.low / mean, metres.high / mean};
}

Interval interval_of_estimate(const Estimate& of) {
  return interval_about(of.mean, Scatter{of.sd, std::nullopt});
}

Estimate middle_of_pairs(const Estimate& one, const Estimate& other) {
  return {0.5 * (one.mean + other.mean), 0.5 * (one.sd + other.sd)};
}

// Of all pairs the one that differs most; `between(i, j)`: i less j.
template <class Between>
void find_most(CircumferenceDifferences& of, const Between& between) {
  double most = -1.0;
  for (std::size_t i = 0; i < kWheels; ++i)
    for (std::size_t j = i + 1; j < kWheels; ++j) {
      const Interval found = between(i, j);
      const double size = std::round(std::fabs(found.value) * 1e9);
      if (size <= most) continue;
      most = size;
      const bool first_larger = found.value >= 0.0;
      of.larger = static_cast<WheelPlace>(first_larger ? i : j);
      of.smaller = static_cast<WheelPlace>(first_larger ? j : i);
      of.most = first_larger ? found : Interval{-found.value, -found.high, -found.low};
    }
}

}  // namespace

Result<CircumferenceDifferences> circumference_differences(
    const std::array<std::vector<double>, kWheels>& readings, const ReadingGauge& gauge) {
  for (const auto& wheel : readings)
    for (const double reading : wheel)
      if (!(reading >= kSmallestWheel && reading <= kLargestWheel))
        return problem("no road wheel is that far round",
                       "0.8 to 6 m (31.5 to 236 in), once round the tread");
  const auto means = means_of_places({readings.begin(), readings.end()}, gauge);
  if (!means) return means.error();
  CircumferenceDifferences out;
  out.between_axles = relative_to_mean(*means, kBetweenAxles);
  out.across_front = relative_to_mean(*means, kAcrossFront);
  out.across_rear = relative_to_mean(*means, kAcrossRear);
  find_most(out, [&](std::size_t i, std::size_t j) {
    WheelWeights weights{};
    weights[i] = 1.0;
    weights[j] = -1.0;
    return relative_to_mean(*means, weights);
  });
  for (const double mean : means->means) out.mean += mean / kWheels;
  return out;
}

Result<CircumferenceDifferences> circumference_differences(
    const std::array<TireOnWheel, kWheels>& wheels) {
  bool any = false;
  const auto between = [&](std::size_t i, std::size_t j) {
    any = any || can_be_compared(wheels[i].tire, wheels[i].state, wheels[j].tire, wheels[j].state);
    return circumference_difference(wheels[i].tire, wheels[i].state, wheels[j].tire,
                                    wheels[j].state);
  };
  CircumferenceDifferences out;
  out.between_axles = interval_of_estimate(middle_of_pairs(between(0, 2), between(1, 3)));
  out.across_front = interval_of_estimate(between(0, 1));
  out.across_rear = interval_of_estimate(between(2, 3));
  find_most(out, [&](std::size_t i, std::size_t j) { return interval_of_estimate(between(i, j)); });
  if (!any)
    return problem("nothing is known that could make the tires differ",
                   "circumferences, or tread depths and pressures of two wheels or more");
  for (const TireOnWheel& wheel : wheels)
    out.mean += rolling_circumference(wheel.tire, wheel.state).mean / kWheels;
  return out;
}

Interval coupling_slip(const CircumferenceDifferences& of, double speed, double axle_ratio) {
  // 1 / C1 - 1 / C2 = -d / C, but for d squared over 4.
  const double turns = speed * axle_ratio / of.mean;
  return {-turns * of.between_axles.value, -turns * of.between_axles.high,
          -turns * of.between_axles.low};
}

WheelBeat wheel_beat(const Interval& difference, double circumference, double speed) {
  const auto turning = [&](double relative) {
    return speed / (circumference * (1.0 + 0.5 * relative));
  };
  const auto hz = [&](double relative) { return beat_hz(turning(relative), turning(-relative)); };
  const auto period = [&](double relative) {
    return beat_period(turning(relative), turning(-relative));
  };
  const double low = std::fabs(difference.low), high = std::fabs(difference.high);
  const double most = std::max(low, high);
  const bool may_be_equal = difference.low <= 0.0 && difference.high >= 0.0;
  const double least = may_be_equal ? 0.0 : std::min(low, high);
  return {{hz(difference.value), hz(least), hz(most)},
          {period(difference.value), period(most), period(least)}};
}

}  // namespace perrev
