#include "engine/recording/clock_offset.h"

#include <algorithm>
#include <cmath>

#include "engine/recording/lag_fit.h"

namespace perrev {

namespace {

constexpr double kLongest = 5400.0;             // s that are looked at
constexpr std::size_t kMean = 10, kSlow = 600;  // tenths of a second: means, and what is slower
constexpr std::size_t kStride = 5;              // tenths, of the first look
constexpr std::size_t kShortest = 300;          // tenths in common
constexpr double kLeastChange = 0.15;           // m/s2 r.m.s.
constexpr double kLeastExplained = 0.3;
constexpr double kClear = 10.0;         // of log likelihood
constexpr std::ptrdiff_t kApart = 50;   // tenths: another offset
constexpr double kIndependent = 2.0;    // s
constexpr double kNormal95 = 1.959964;  // of a normal distribution

// Means over `width` values around each, of those that are there at the ends.
std::vector<double> means(const std::vector<double>& values, std::size_t width) {
  std::vector<double> sums(values.size() + 1, 0.0), out(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) sums[i + 1] = sums[i] + values[i];
  for (std::size_t i = 0; i < values.size(); ++i) {
    const std::size_t from = i - std::min(i, width / 2);
    const std::size_t to = std::min(values.size(), i + (width + 1) / 2);
    out[i] = (sums[to] - sums[from]) / static_cast<double>(to - from);
  }
  return out;
}

void without_slow(std::vector<double>& values) {
  const std::vector<double> slow = means(values, kSlow);
  for (std::size_t i = 0; i < values.size(); ++i) values[i] -= slow[i];
}

// Change of speed over a second, in m/s2, every kMeanStep; zero where the speed is missing.
std::vector<double> changes_of(const SlowTrace& trace) {
  HeldTrace speed = trace.shifted(0.0);
  const double length = std::min(trace.end() - trace.begin(), kLongest);
  const std::size_t count = static_cast<std::size_t>(length / kMeanStep) + 1;
  std::vector<double> at(count), out(count, 0.0);
  for (std::size_t i = 0; i < count; ++i)
    at[i] = speed.at(trace.begin() + static_cast<double>(i) * kMeanStep);
  for (std::size_t i = kMean / 2; i + kMean / 2 < count; ++i) {
    const double change =
        (at[i + kMean / 2] - at[i - kMean / 2]) / (static_cast<double>(kMean) * kMeanStep);
    if (std::isfinite(change)) out[i] = change;
  }
  return out;
}

double rms(const std::vector<double>& values) {
  double squares = 0.0;
  for (const double each : values) squares += each * each;
  return values.empty() ? 0.0 : std::sqrt(squares / static_cast<double>(values.size()));
}

struct Peak {
  std::ptrdiff_t lag = 0;
  double height = -1.0;  // log likelihood
};

// Log likelihood, against none, of an offset that so many values stand behind.
double likelihood(const LagFit& fit, std::ptrdiff_t lag, std::size_t values) {
  const double seconds = static_cast<double>(values) * kMeanStep;
  return -0.5 * seconds / kIndependent * std::log(1.0 - std::min(fit.explained(lag), 1.0 - 1e-9));
}
double likelihood(const LagFit& fit, std::ptrdiff_t lag) {
  return likelihood(fit, lag, fit.common(lag));
}

// Whether an offset stands out from another, by as many values as both have.
bool clear_of(const LagFit& fit, std::ptrdiff_t best, std::ptrdiff_t other) {
  const std::size_t values = std::min(fit.common(best), fit.common(other));
  return std::abs(other - best) <= kApart ||
         likelihood(fit, best, values) - likelihood(fit, other, values) > kClear;
}

}  // namespace

void MeanMotion::take(const Samples& samples) {
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double time = samples.time[i];
    bool whole = std::isfinite(time);
    for (const std::vector<double>& axis : samples.acceleration)
      whole = whole && (axis.empty() || std::isfinite(axis[i]));
    if (!whole) continue;
    if (!begun_) begin_ = time;
    begun_ = true;
    const double bin = (time - begin_) / kMeanStep;
    if (bin < 0.0 || bin >= kLongest / kMeanStep) continue;
    const std::size_t at = static_cast<std::size_t>(bin);
    if (at >= counts_.size()) {
      counts_.resize(at + 1, 0.0);
      for (std::vector<double>& sums : sums_) sums.resize(at + 1, 0.0);
    }
    counts_[at] += 1.0;
    for (std::size_t a = 0; a < kAxes; ++a)
      if (!samples.acceleration[a].empty()) sums_[a][at] += samples.acceleration[a][i];
  }
}

std::array<std::vector<double>, kAxes> MeanMotion::filled() const {
  std::array<std::vector<double>, kAxes> out;
  for (std::size_t a = 0; a < kAxes; ++a) {
    out[a].resize(counts_.size());
    std::size_t last = 0;  // the first has a value
    for (std::size_t i = 0; i < counts_.size(); ++i) {
      if (counts_[i] == 0.0) continue;
      out[a][i] = sums_[a][i] / counts_[i];
      for (std::size_t j = last + 1; j < i; ++j)
        out[a][j] = out[a][last] + (out[a][i] - out[a][last]) * static_cast<double>(j - last) /
                                       static_cast<double>(i - last);
      last = i;
    }
  }
  return out;
}

std::optional<ClockOffset> estimate_clock_offset(const MeanMotion& motion, const SlowTrace& speed) {
  std::array<std::vector<double>, kAxes> axes = motion.filled();
  std::vector<double> change = changes_of(speed);
  const std::size_t shorter = std::min(axes[0].size(), change.size());
  const std::size_t least = std::max(kShortest, shorter / 2);
  if (shorter < kShortest) return std::nullopt;
  for (std::vector<double>& axis : axes) {
    axis = means(means(axis, kMean), kMean);
    without_slow(axis);
  }
  change = means(change, kMean);
  without_slow(change);
  if (rms(change) < kLeastChange) return std::nullopt;

  const auto length = [](std::size_t size) { return static_cast<std::ptrdiff_t>(size); };
  const LagFit coarse(axes, change, kStride), fine(axes, change, 1);
  std::vector<Peak> looked;
  for (std::ptrdiff_t lag = length(least) - length(change.size());
       lag <= length(axes[0].size()) - length(least); lag += length(kStride))
    looked.push_back({lag, likelihood(coarse, lag)});
  const auto higher = [](const Peak& a, const Peak& b) { return a.height < b.height; };
  if (looked.empty()) return std::nullopt;
  const std::ptrdiff_t about = std::max_element(looked.begin(), looked.end(), higher)->lag;
  Peak best;
  for (std::ptrdiff_t lag = about - 2 * length(kStride); lag <= about + 2 * length(kStride); ++lag)
    if (const double height = likelihood(fine, lag); height > best.height) best = {lag, height};
  for (const Peak& other : looked)
    if (!clear_of(coarse, best.lag, other.lag)) return std::nullopt;
  const double explained = fine.explained(best.lag);
  const double before = likelihood(fine, best.lag - 1), after = likelihood(fine, best.lag + 1);
  const double bend = 2.0 * best.height - before - after;
  if (explained < kLeastExplained || !(bend > 0.0)) return std::nullopt;

  const double top = static_cast<double>(best.lag) + 0.5 * (after - before) / bend;
  const double seconds = motion.begin() - speed.begin() + (top + 0.5) * kMeanStep;
  const double reach = kNormal95 * kMeanStep / std::sqrt(bend);
  return ClockOffset{seconds, seconds - reach, seconds + reach, explained};
}

}  // namespace perrev
