#include "engine/recording/noise_floor.h"

#include <algorithm>
#include <cmath>

namespace perrev {
namespace {

constexpr std::size_t kNear = 8;    // lines to each side that the floor is averaged over
constexpr std::size_t kFewest = 5;  // of them; where tones leave fewer it reaches further
constexpr std::size_t kFurthest = 64;

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

}  // namespace

std::vector<double> noise_floor(const std::vector<double>& density, const Usable& usable) {
  const std::size_t lines = density.size();
  Usable counted = usable;
  std::vector<double> logs(lines);
  for (std::size_t k = 0; k < lines; ++k) {
    counted[k] = static_cast<char>(usable[k] && density[k] > 0.0);
    if (counted[k]) logs[k] = std::log(density[k]);
  }
  const Sums sums(logs, counted);
  const auto first =
      static_cast<std::size_t>(std::find(counted.begin(), counted.end(), 1) - counted.begin());
  const auto end = lines - static_cast<std::size_t>(std::find(counted.rbegin(), counted.rend(), 1) -
                                                    counted.rbegin());
  std::vector<double> floor(lines);
  for (std::size_t k = first; k < end; ++k) {
    const std::size_t room = std::min(k - first, end - 1 - k);
    std::size_t reach = std::min(room, kNear);
    while (reach < kFurthest && sums.count(k - std::min(k, reach), std::min(lines, k + reach + 1)) <
                                    static_cast<double>(std::min(kFewest, 2 * reach + 1)))
      ++reach;
    const std::size_t from = k - std::min(k, reach), to = std::min(lines, k + reach + 1);
    if (sums.count(from, to) > 0.0) floor[k] = std::exp(sums.sum(from, to) / sums.count(from, to));
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
    if (count > 0.0) mean[k] = (sums.sum(far_left, left) + sums.sum(right, far_right)) / count;
  }
  return mean;
}

}  // namespace perrev
