// Random numbers that are the same on every machine (Knuth's MMIX constants).
//
// Only for tests: fixed seeds, so that a failure can be had again by its seed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace perrev::testing {

class Lcg {
 public:
  explicit Lcg(std::uint64_t seed) : state_(seed * 2862933555777941757ULL + 3037000493ULL) {
    step();
  }

  // Evenly in [0, 1).
  double real() { return static_cast<double>(step() >> 11) / 9007199254740992.0; }
  double real(double low, double high) { return low + (high - low) * real(); }
  // Evenly in 0 .. count - 1.
  int below(int count) { return static_cast<int>(real() * count); }
  // Both included.
  int between(int low, int high) { return low + below(high - low + 1); }
  bool chance(double probability) { return real() < probability; }

  template <class T>
  const T& pick(const std::vector<T>& from) {
    return from[static_cast<std::size_t>(below(static_cast<int>(from.size())))];
  }
  template <class T>
  void shuffle(std::vector<T>& items) {
    for (std::size_t i = items.size(); i > 1; --i)
      std::swap(items[i - 1], items[static_cast<std::size_t>(below(static_cast<int>(i)))]);
  }
  // An index, each as often as its weight says. The weights need not sum to one.
  std::size_t pick_weighted(const std::vector<double>& weights) {
    double total = 0.0;
    for (const double w : weights) total += w;
    double left = real() * total;
    for (std::size_t i = 0; i + 1 < weights.size(); ++i) {
      left -= weights[i];
      if (left < 0.0) return i;
    }
    return weights.size() - 1;
  }

 private:
  std::uint64_t step() {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return state_;
  }
  std::uint64_t state_;
};

}  // namespace perrev::testing
