// Random numbers that are the same on every machine: SplitMix64 (Steele, Lea and Flood 2014).
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "engine/quantity/angle.h"

namespace perrev {

class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}

  // One of many streams of a seed; they have nothing to do with each other.
  static Random stream(std::uint64_t seed, std::uint64_t which) {
    Random mixed(Random(seed).step() ^ which * 0xd1342543de82ef95ULL);
    return Random(mixed.step());
  }

  // Evenly in [0, 1).
  double real() { return static_cast<double>(step() >> 11) / 9007199254740992.0; }
  // Of mean 0 and standard deviation 1 (Box and Muller 1958).
  double normal() {
    const double a = real(), b = real();
    return std::sqrt(-2.0 * std::log(1.0 - a)) * std::cos(kTurn * b);
  }
  // Evenly in 0 .. count - 1.
  std::size_t below(std::size_t count) {
    return static_cast<std::size_t>(real() * static_cast<double>(count));
  }
  // An index, each as often as its weight says; the weights need not sum to one, some must be
  // positive.
  std::size_t weighted(const std::vector<double>& weights) {
    double total = 0.0;
    for (const double w : weights) total += w;
    double left = real() * total;
    std::size_t last = 0;
    for (std::size_t i = 0; i < weights.size(); ++i) {
      if (weights[i] <= 0.0) continue;
      last = i;
      left -= weights[i];
      if (left < 0.0) break;
    }
    return last;
  }

 private:
  std::uint64_t step() {
    std::uint64_t z = state_ += 0x9e3779b97f4a7c15ULL;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ULL;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebULL;
    return z ^ (z >> 31);
  }
  std::uint64_t state_;
};

}  // namespace perrev
