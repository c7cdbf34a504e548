// The normal distribution.
#pragma once

#include <cmath>
#include <numbers>

namespace perrev {

// Of the standard one, the share below `z`.
inline double normal_below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

// Probability density at `x`; `sd` above 0.
inline double normal_density(double x, double mean, double sd) {
  const double z = (x - mean) / sd;
  return std::exp(-0.5 * z * z) / (sd * std::sqrt(2.0 * std::numbers::pi));
}

// Standard deviation of the sum of two that have nothing to do with each other.
inline double sd_of_sum(double one, double other) { return std::sqrt(one * one + other * other); }

}  // namespace perrev
