// Counts of what happened against what was to be expected.
#pragma once

#include <cmath>

namespace perrev::testing {

// How often something happened that should happen with these probabilities.
struct Tally {
  double expected = 0.0, variance = 0.0, seen = 0.0;
  void add(double p, bool happened) {
    expected += p;
    variance += p * (1.0 - p);
    seen += happened ? 1.0 : 0.0;
  }
  // Often enough for the normal law.
  bool says_something() const { return variance >= 9.0; }
  double off() const { return std::abs(seen - expected) / std::sqrt(variance); }
};

}  // namespace perrev::testing
