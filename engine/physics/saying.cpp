#include "engine/physics/saying.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace perrev {

namespace {

constexpr double kWidest = 3.0;         // standard deviations of the number that are looked at
constexpr double kSpeedStep = 1.25;     // m/s
constexpr double kLeastDensity = 1e-4;  // of driving at a speed, for each m/s
// How people answer; from memory, and set against the shares of trade tables.
constexpr double kDrawPerDb = 0.30;        // to the worst speed: e to the power of this and the dB
constexpr double kReadingSd = 1.6;         // m/s: people name speeds in fives
constexpr double kEdgeSd = 2.5;            // dB between just felt and named as the begin
constexpr double kNotDrivenFaster = 0.35;  // of those asked where it ends: their fastest speed
constexpr double kFastest = 33.0, kFastestSd = 3.5;                        // m/s
constexpr double kPlainFrom = 3.0, kBelowStrongest = 10.0, kTickSd = 5.0;  // dB
constexpr double kTickedByMistake = 0.02, kTickedAtMost = 0.95;
constexpr double kHeardSd = 6.0, kFeltSpoils = 4.0;  // dB

double below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

double step_density(const SpeedBands& bands, double speed) {
  for (std::size_t b = 0; b + 1 < bands.worst.size(); ++b)
    if (speed < bands.worst[b + 1])
      return std::max(kLeastDensity, bands.worst_base[b] / (bands.worst[b + 1] - bands.worst[b]));
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
    const double driven = bands.worst.empty() ? 1.0 : step_density(bands, said_speeds()[i]);
    out.push_back(std::sqrt(driven) * std::exp(kDrawPerDb * (loud[i] - top)));
    total += out.back();
  }
  for (double& x : out) x /= total;
  return out;
}

std::vector<double> worst_bands(const std::vector<double>& drawn, const SpeedBands& bands,
                                double speed_sd) {
  std::vector<double> out(bands.worst.size() - 1, 0.0);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    const double speed = said_speeds()[i], sd = std::hypot(kReadingSd, speed_sd * speed);
    double before = 0.0;
    for (std::size_t b = 0; b < out.size(); ++b) {
      const double until = b + 1 == out.size() ? 1.0 : below((bands.worst[b + 1] - speed) / sd);
      out[b] += drawn[i] * (until - before);
      before = until;
    }
  }
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
std::vector<ByLevel> differences(const std::vector<double>& edges,
                                 const std::vector<ByLevel>& below_edge) {
  std::vector<ByLevel> out(edges.size() - 1);
  for (std::size_t b = 0; b < out.size(); ++b)
    for (std::size_t n = 0; n < kLevels; ++n) {
      const double low = b == 0 ? 0.0 : below_edge[b][n];
      const double high = b + 1 == out.size() ? 1.0 : below_edge[b + 1][n];
      out[b][n] = std::max(1e-6, high - low);
    }
  for (std::size_t n = 0; n < kLevels; ++n) {
    double total = 0.0;
    for (const ByLevel& band : out) total += band[n];
    for (ByLevel& band : out) band[n] /= total;
  }
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

std::vector<Sayings> say(const PhysicsPeople& people, const std::vector<FeltWay>& ways,
                         double size_db, const SpeedBands& bands) {
  const double sd = std::sqrt(size_db * size_db + people.spread_db * people.spread_db +
                              people.vehicle_spread_db * people.vehicle_spread_db);
  ByLevel db{}, density{};
  for (int n = 0; n < kLevels; ++n) {
    const double z = kWidest * (2.0 * n / (kLevels - 1.0) - 1.0);
    db[static_cast<std::size_t>(n)] = sd * z;
    density[static_cast<std::size_t>(n)] = std::exp(-0.5 * z * z);
  }
  std::vector<Sayings> out;
  double complaints = 0.0;
  for (const FeltWay& way : ways) {
    Sayings said;
    const std::vector<double> loud = loudest(way);
    const std::vector<double> drawn = drawn_to(loud, bands);
    // What is felt at the worst speed, as one number a place.
    std::array<double, kFeltPlaces> at{};
    double heard = 0.0;
    for (std::size_t i = 0; i < drawn.size(); ++i) {
      for (std::size_t p = 0; p < kFeltPlaces; ++p) at[p] += drawn[i] * way.felt[i][p];
      heard += drawn[i] * way.heard[i];
    }
    const double most = *std::max_element(at.begin(), at.end());
    const double top = std::max(most, heard);

    if (!bands.worst.empty()) said.worst = worst_bands(drawn, bands, way.speed_sd);
    const std::vector<double> until = running(loud, false), from = running(loud, true);
    const double peak = until.back();
    std::vector<ByLevel> begun(bands.begins.size()), ended(bands.ends.size());
    for (std::size_t n = 0; n < kLevels; ++n) {
      said.weight[n] = way.share * density[n] *
                       below((top + db[n] - people.complains_from_db) / people.complains_spread_db);
      complaints += said.weight[n];
      const double ever = below((peak + db[n]) / kEdgeSd);
      for (std::size_t e = 0; e < begun.size(); ++e)
        begun[e][n] = below((at_speed(until, bands.begins[e]) + db[n]) / kEdgeSd) / ever;
      for (std::size_t e = 0; e < ended.size(); ++e)
        ended[e][n] = (1.0 - kNotDrivenFaster) *
                          (1.0 - below((at_speed(from, bands.ends[e]) + db[n]) / kEdgeSd) / ever) +
                      kNotDrivenFaster * below((bands.ends[e] - kFastest) / kFastestSd);

      const std::array<double, 3> borders = {people.clear_db, people.strong_db, people.alarming_db};
      double above = 1.0;
      for (std::size_t s = 0; s < kStrengths; ++s) {
        const double next = s < borders.size()
                                ? below((top + db[n] - borders[s]) / people.strength_spread_db)
                                : 0.0;
        said.strength[s][n] = above - next;
        above = next;
      }
      const double span = kTickedAtMost - kTickedByMistake;
      for (std::size_t p = 0; p < kFeltPlaces; ++p)
        said.ticked[p][n] =
            kTickedByMistake +
            span * below((std::min(at[p] + db[n], at[p] - most + kBelowStrongest) - kPlainFrom) /
                         kTickSd);
      const double seat = at[static_cast<std::size_t>(FeltPlace::seat)];
      said.ticked[kWholeCar][n] =
          kTickedByMistake +
          (way.upright ? span * below((seat + db[n] - people.whole_car_db) / kTickSd) : 0.0);
      said.ticked[kHeardOnly][n] =
          kTickedByMistake + span * below((heard + db[n]) / kHeardSd) *
                                 below((kPlainFrom - most - db[n]) / kFeltSpoils);
    }
    if (!bands.begins.empty()) said.begins = differences(bands.begins, begun);
    if (!bands.ends.empty()) said.ends = differences(bands.ends, ended);
    out.push_back(std::move(said));
  }
  for (Sayings& said : out)
    for (double& w : said.weight) w /= complaints;
  return out;
}

}  // namespace perrev
