#include "engine/recording/noise_floor.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace perrev {
namespace {

constexpr std::ptrdiff_t kNear = 14;      // lines to each side that a curve is laid through
constexpr std::ptrdiff_t kFurthest = 64;  // where tones leave too few of them
constexpr std::ptrdiff_t kOwn = 3;        // nearer ones would be the tone's own
constexpr int kFewest = 5;                // to each side

constexpr double kFewestAround = 25.0;  // on both sides together

// Sums from the first up to each.
class Sums {
 public:
  Sums(const std::vector<double>& values, const Usable& usable) {
    for (std::size_t k = 0; k < values.size(); ++k) {
      sum_.push_back(sum_.back() + (usable[k] ? values[k] : 0.0));
      count_.push_back(count_.back() + (usable[k] ? 1.0 : 0.0));
    }
  }
  // From `first` to before `end`.
  double sum(std::size_t first, std::size_t end) const { return sum_[end] - sum_[first]; }
  double count(std::size_t first, std::size_t end) const { return count_[end] - count_[first]; }

 private:
  std::vector<double> sum_{0.0}, count_{0.0};
};

// A parabola through points by least squares, and what it is at zero.
class Curve {
 public:
  void add(double x, double y) {
    double power = 1.0;
    for (std::size_t i = 0; i < moments_.size(); ++i, power *= x) {
      moments_[i] += power;
      if (i < values_.size()) values_[i] += power * y;
    }
  }
  double at_zero() const {
    const auto& m = moments_;
    const double one = m[2] * m[4] - m[3] * m[3], two = m[1] * m[4] - m[2] * m[3],
                 three = m[1] * m[3] - m[2] * m[2];
    return (values_[0] * one - values_[1] * two + values_[2] * three) /
           (m[0] * one - m[1] * two + m[2] * three);
  }

 private:
  std::array<double, 5> moments_{};
  std::array<double, 3> values_{};
};

}  // namespace

std::vector<double> noise_floor(const std::vector<double>& density, const Usable& usable) {
  const std::size_t lines = density.size();
  Usable counted = usable;
  std::vector<double> logs(lines), floor(lines);
  for (std::size_t k = 0; k < lines; ++k) {
    counted[k] = static_cast<char>(usable[k] && density[k] > 0.0);
    if (counted[k]) logs[k] = std::log(density[k]);
  }
  const auto first =
      static_cast<std::ptrdiff_t>(std::find(counted.begin(), counted.end(), 1) - counted.begin());
  const auto last =
      static_cast<std::ptrdiff_t>(counted.rend() - std::find(counted.rbegin(), counted.rend(), 1)) -
      1;
  for (std::ptrdiff_t k = first; k <= last; ++k) {
    Curve curve;
    const auto add = [&](std::ptrdiff_t apart) {
      const auto at = static_cast<std::size_t>(k + apart);
      if (counted[at]) curve.add(static_cast<double>(apart), logs[at]);
      return counted[at] ? 1 : 0;
    };
    const std::ptrdiff_t room = std::min({k - first, last - k, kFurthest});
    int left = 0, right = 0;
    for (std::ptrdiff_t apart = kOwn; apart <= room; ++apart) {
      if (apart > kNear && left >= kFewest && right >= kFewest) break;
      left += add(-apart);
      right += add(apart);
    }
    if (left >= kFewest && right >= kFewest)
      floor[static_cast<std::size_t>(k)] = std::exp(curve.at_zero());
  }
  return floor;
}

std::vector<double> surroundings(const std::vector<double>& values, const Usable& usable) {
  const std::size_t lines = values.size();
  const Sums sums(values, usable);
  std::vector<double> mean(lines);
  for (std::size_t k = 0; k < lines; ++k) {
    const std::size_t far_left = k - std::min(k, kSurroundings), left = k - std::min(k, kSpread),
                      right = std::min(lines, k + kSpread + 1),
                      far_right = std::min(lines, k + kSurroundings + 1);
    const double count = sums.count(far_left, left) + sums.count(right, far_right);
    if (count >= kFewestAround)
      mean[k] = (sums.sum(far_left, left) + sums.sum(right, far_right)) / count;
  }
  return mean;
}

}  // namespace perrev
