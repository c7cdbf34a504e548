#include "engine/physics/saying.h"

#include <algorithm>
#include <cmath>

#include "engine/normal.h"

namespace perrev {

namespace {

constexpr double kWidest = 3.0;         // standard deviations of the number that are looked at
constexpr double kSpeedStep = 1.25;     // m/s
constexpr double kLeastDensity = 1e-4;  // of driving at a speed, for each m/s
// How people answer; from memory, and set against the shares of trade tables.
constexpr double kDrawPerDb = 0.30;        // to the worst speed: e to the power of this and the dB
constexpr double kReadingSd = 1.6;         // m/s: people name speeds in fives
constexpr double kBesideIt = 0.1;          // answers that have nothing to do with the fault
constexpr double kEdgeSd = 2.5;            // dB about plain at which the begin or the end is named
constexpr double kNotDrivenFaster = 0.35;  // of those asked where it ends: their fastest speed
constexpr double kFastest = 33.0, kFastestSd = 3.5;                        // m/s
constexpr double kPlainFrom = 3.0, kBelowStrongest = 10.0, kTickSd = 5.0;  // dB
constexpr double kTickedByMistake = 0.02, kTickedAtMost = 0.95;
constexpr double kHeardSd = 6.0, kFeltSpoils = 4.0;  // dB

double step_density(const SpeedBands& bands, double speed) {
  for (std::size_t b = 0; b < bands.base.size(); ++b)
    if (speed < bands.edges[b + 1])
      return std::max(kLeastDensity, bands.base[b] / (bands.edges[b + 1] - bands.edges[b]));
  return kLeastDensity;
}

// By speed: the strongest place; where nothing is felt, what is heard counts as much.
std::vector<double> loudest(const FeltWay& way) {
  std::vector<double> out;
  for (std::size_t i = 0; i < way.felt.size(); ++i)
    out.push_back(
        std::max(*std::max_element(way.felt[i].begin(), way.felt[i].end()), way.heard[i]));
  return out;
}

// Where the worst speed is, by speed; sums to one.
std::vector<double> drawn_to(const std::vector<double>& loud, const SpeedBands& bands) {
  const double top = *std::max_element(loud.begin(), loud.end());
  std::vector<double> out;
  double total = 0.0;
  for (std::size_t i = 0; i < loud.size(); ++i) {
    const double driven = bands.base.empty() ? 1.0 : step_density(bands, said_speeds()[i]);
    out.push_back(std::sqrt(driven) * std::exp(kDrawPerDb * (loud[i] - top)));
    total += out.back();
  }
  for (double& x : out) x /= total;
  return out;
}

std::vector<double> worst_bands(const std::vector<double>& drawn, const SpeedBands& bands,
                                double speed_sd) {
  std::vector<double> out(bands.base.size(), 0.0);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const double speed = said_speeds()[i], sd = std::hypot(kReadingSd, speed_sd * speed);
    double before = 0.0;
    for (std::size_t b = 0; b < out.size(); ++b) {
      const double until =
          b + 1 == out.size() ? 1.0 : normal_below((bands.edges[b + 1] - speed) / sd);
      out[b] += drawn[i] * (until - before);
      before = until;
    }
  }
  for (std::size_t b = 0; b < out.size(); ++b)
    out[b] = (1.0 - kBesideIt) * out[b] + kBesideIt * bands.base[b];
  return out;
}

// The loudest up to, or from, each speed.
std::vector<double> running(std::vector<double> loud, bool from) {
  if (from) std::reverse(loud.begin(), loud.end());
  for (std::size_t i = 1; i < loud.size(); ++i) loud[i] = std::max(loud[i], loud[i - 1]);
  if (from) std::reverse(loud.begin(), loud.end());
  return loud;
}

double at_speed(const std::vector<double>& values, double speed) {
  const std::vector<double>& speeds = said_speeds();
  const double place = (speed - speeds.front()) / (speeds[1] - speeds[0]);
  if (place <= 0.0) return values.front();
  const std::size_t i = static_cast<std::size_t>(place);
  if (i + 1 >= values.size()) return values.back();
  const double t = place - static_cast<double>(i);
  return (1.0 - t) * values[i] + t * values[i + 1];
}

using ByLevel = std::array<double, kLevels>;

// Shares of bands from what is below their borders, by level.
std::vector<ByLevel> differences(const SpeedBands& bands, const std::vector<ByLevel>& below_edge) {
  std::vector<ByLevel> out(bands.base.size());
  for (std::size_t b = 0; b < out.size(); ++b)
    for (std::size_t n = 0; n < kLevels; ++n)
      out[b][n] = of_band(bands, b, below_edge[b][n], below_edge[b + 1][n]);
  return out;
}

}  // namespace

const std::vector<double>& said_speeds() {
  static const std::vector<double> speeds = [] {
    std::vector<double> out;
    for (int i = 1; i <= 36; ++i) out.push_back(kSpeedStep * i);
    return out;
  }();
  return speeds;
}

SaidOfWay::SaidOfWay(const PhysicsPeople& people, const FeltWay& way, const SpeedBands& worst)
    : people_(&people), upright_(way.upright) {
  const std::vector<double> loud = loudest(way);
  const std::vector<double> drawn = drawn_to(loud, worst);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    for (std::size_t p = 0; p < kFeltPlaces; ++p) at_[p] += drawn[i] * way.felt[i][p];
    heard_ += drawn[i] * way.heard[i];
  }
  most_ = *std::max_element(at_.begin(), at_.end());
  top_ = std::max(most_, heard_);
  worst_ = worst_bands(drawn, worst, way.speed_sd);
  until_ = running(loud, false);
  from_ = running(loud, true);
}

double SaidOfWay::complains(double db) const {
  return normal_below((top_ + db - people_->complains_from_db) / people_->complains_spread_db);
}

double SaidOfWay::ever(double db) const {
  return normal_below((until_.back() + db - kPlainFrom) / kEdgeSd);
}

double SaidOfWay::begins_below(double speed, double db, double ever) const {
  return normal_below((at_speed(until_, speed) + db - kPlainFrom) / kEdgeSd) / ever;
}

double SaidOfWay::ends_below(double speed, double db, double ever) const {
  return (1.0 - kNotDrivenFaster) *
             (1.0 - normal_below((at_speed(from_, speed) + db - kPlainFrom) / kEdgeSd) / ever) +
         kNotDrivenFaster * normal_below((speed - kFastest) / kFastestSd);
}

std::array<double, kStrengths> SaidOfWay::strength(double db) const {
  const std::array<double, 3> borders = {people_->clear_db, people_->strong_db,
                                         people_->alarming_db};
  std::array<double, kStrengths> out{};
  double above = 1.0;
  for (std::size_t s = 0; s < kStrengths; ++s) {
    const double next = s < borders.size()
                            ? normal_below((top_ + db - borders[s]) / people_->strength_spread_db)
                            : 0.0;
    out[s] = above - next;
    above = next;
  }
  return out;
}

double SaidOfWay::ticked(std::size_t tick, double db) const {
  const double span = kTickedAtMost - kTickedByMistake;
  if (tick == kHeardOnly)
    return kTickedByMistake + span * normal_below((heard_ + db) / kHeardSd) *
                                  normal_below((kPlainFrom - most_ - db) / kFeltSpoils);
  if (tick == kWholeCar) {
    const double seat = at_[static_cast<std::size_t>(FeltPlace::seat)];
    return kTickedByMistake +
           (upright_ ? span * normal_below((seat + db - people_->whole_car_db) / kTickSd) : 0.0);
  }
  return kTickedByMistake +
         span * normal_below(
                    (std::min(at_[tick] + db, at_[tick] - most_ + kBelowStrongest) - kPlainFrom) /
                    kTickSd);
}

double of_band(const SpeedBands& bands, std::size_t band, double below_low, double below_high) {
  const double low = band == 0 ? 0.0 : below_low;
  const double high = band + 1 == bands.base.size() ? 1.0 : below_high;
  return (1.0 - kBesideIt) * (high - low) + kBesideIt * bands.base[band];
}

double number_sd(const PhysicsPeople& people, double size_db) {
  return std::sqrt(size_db * size_db + people.spread_db * people.spread_db +
                   people.vehicle_spread_db * people.vehicle_spread_db);
}

Sayings say(const PhysicsPeople& people, const FeltWay& way, double size_db,
            const AskedSpeeds& asked) {
  const double sd = number_sd(people, size_db);
  const SaidOfWay saying(people, way, asked.worst);
  Sayings said;
  said.worst = saying.worst();
  std::vector<ByLevel> begun(asked.begins.edges.size()), ended(asked.ends.edges.size());
  for (std::size_t n = 0; n < kLevels; ++n) {
    const double z = kWidest * (2.0 * static_cast<double>(n) / (kLevels - 1.0) - 1.0), db = sd * z;
    const double ever = saying.ever(db);
    said.weight[n] = way.share * std::exp(-0.5 * z * z) * saying.complains(db);
    for (std::size_t e = 0; e < begun.size(); ++e)
      begun[e][n] = saying.begins_below(asked.begins.edges[e], db, ever);
    for (std::size_t e = 0; e < ended.size(); ++e)
      ended[e][n] = saying.ends_below(asked.ends.edges[e], db, ever);
    const std::array<double, kStrengths> strength = saying.strength(db);
    for (std::size_t s = 0; s < kStrengths; ++s) said.strength[s][n] = strength[s];
    for (std::size_t t = 0; t < kTicks; ++t) said.ticked[t][n] = saying.ticked(t, db);
  }
  said.begins = differences(asked.begins, begun);
  said.ends = differences(asked.ends, ended);
  return said;
}

}  // namespace perrev
