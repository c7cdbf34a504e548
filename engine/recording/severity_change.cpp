#include "engine/recording/severity_change.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <cstddef>
#include <map>

namespace perrev {

namespace {

constexpr double kBand = 2.0;   // m/s, of speed
constexpr double kLeast = 5.0;  // s in a band, of each recording, for it to count
constexpr double kPiece = 8.0;  // s; longer than a bump or a shudder lasts

// By band of speed, the steps of a recording that lie in it.
using Bands = std::map<int, std::vector<std::size_t>>;

Bands bands_of(const Severity& of, bool by_speed) {
  Bands out;
  for (std::size_t i = 0; i < of.running.size(); ++i)
    out[by_speed ? static_cast<int>(std::floor(of.running_speed[i] / kBand)) : 0].push_back(i);
  return out;
}

double seconds_in(const std::vector<std::size_t>& steps, const Severity& of) {
  return static_cast<double>(steps.size()) * of.running_step;
}

double mean_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double value : values) sum += value;
  return values.empty() ? 0.0 : sum / static_cast<double>(values.size());
}

// Share of each band; they sum to one. By band that both have, the time of the one there for less.
std::map<int, double> weights_of(const Bands& a, const Severity& before, const Bands& b,
                                 const Severity& after) {
  std::map<int, double> out;
  double sum = 0.0;
  for (const auto& [band, steps] : a) {
    if (b.count(band) == 0) continue;
    const double less = std::min(seconds_in(steps, before), seconds_in(b.at(band), after));
    if (less >= kLeast) sum += out[band] = less;
  }
  for (auto& [band, weight] : out) weight /= sum;
  return out;
}

struct Level {
  double square = 0.0;    // (m/s2)2, weighted over the bands
  double variance = 0.0;  // of it
  double freedom = 0.0;   // of the variance; below 1: not known
  double seconds = 0.0;   // in the bands
};

// The variance is that of sums over pieces: neighbours are alike, pieces hardly.
Level level_of(const Severity& of, const Bands& bands, const std::map<int, double>& weights) {
  Level out;
  const double steps_a_piece = std::ceil(kPiece / of.running_step);
  std::map<std::size_t, double> pieces;  // sums of what deviates
  for (const auto& [band, weight] : weights) {
    const std::vector<std::size_t>& steps = bands.at(band);
    out.seconds += seconds_in(steps, of);
    double sum = 0.0;
    for (const std::size_t i : steps) sum += of.running[i] * of.running[i];
    const double count = static_cast<double>(steps.size()), mean = sum / count;
    out.square += weight * mean;
    for (const std::size_t i : steps)
      pieces[static_cast<std::size_t>(static_cast<double>(i) / steps_a_piece)] +=
          weight / count * (of.running[i] * of.running[i] - mean);
  }
  const double count = static_cast<double>(pieces.size());
  out.freedom = count - static_cast<double>(weights.size());
  if (out.freedom < 1.0) return out;
  for (const auto& [piece, sum] : pieces) out.variance += sum * sum * count / out.freedom;
  return out;
}

std::optional<SeverityChange::Range> range_of(double factor, const Level& a, const Level& b) {
  const double freedom = std::min(a.freedom, b.freedom);
  if (freedom < 3.0) return std::nullopt;
  // Of the logarithm of a root: half the relative deviation of what is under it.
  const double sd =
      0.5 * std::sqrt(a.variance / (a.square * a.square) + b.variance / (b.square * b.square));
  const double half = sd * boost::math::quantile(boost::math::students_t(freedom), 0.975);
  return SeverityChange::Range{factor * std::exp(-half), factor * std::exp(half)};
}

}  // namespace

std::optional<SeverityChange> change_between(const Severity& before, const Severity& after) {
  if (before.running.empty() || after.running.empty()) return std::nullopt;
  using Speeds = SeverityChange::Speeds;
  SeverityChange out;
  const bool known = !before.running_speed.empty() && !after.running_speed.empty();
  Bands a = bands_of(before, known), b = bands_of(after, known);
  std::map<int, double> weights = weights_of(a, before, b, after);
  if (known) {
    out.before_speed = mean_of(before.running_speed);
    out.after_speed = mean_of(after.running_speed);
    out.speeds = weights.empty() ? Speeds::apart : Speeds::partly;
  }
  if (weights.empty()) {
    a = bands_of(before, false), b = bands_of(after, false);
    weights = {{0, 1.0}};
  }
  const Level one = level_of(before, a, weights), two = level_of(after, b, weights);
  if (!(one.square > 0.0 && two.square > 0.0)) return std::nullopt;
  if (out.speeds == Speeds::partly) {
    const auto share = [](const Level& level, const Severity& of) {
      return level.seconds / (static_cast<double>(of.running.size()) * of.running_step);
    };
    out.shared = std::min(share(one, before), share(two, after));
    if (out.shared >= SeverityChange::kAlike) out.speeds = Speeds::alike;
  }
  out.before = std::sqrt(one.square);
  out.after = std::sqrt(two.square);
  out.factor = out.after / out.before;
  out.decibels = 20.0 * std::log10(out.factor);
  if (out.speeds != Speeds::apart) out.factor_range = range_of(out.factor, one, two);
  out.other_words = comfort_of(out.before) != comfort_of(out.after);
  return out;
}

}  // namespace perrev
