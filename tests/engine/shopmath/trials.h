// Random trials: how often a 95 % interval holds what is true.
#pragma once

#include <doctest/doctest.h>

#include <cmath>

#include "engine/random.h"
#include "engine/shopmath/vectors.h"

namespace perrev::testing {

inline constexpr int kAllTrials = 10000;
#if defined(PERREV_PLAIN_LOOPS)  // sanitizers look at memory, not at shares
inline constexpr int kTrials = kAllTrials / 10;
#else
inline constexpr int kTrials = kAllTrials;
#endif

// How far the share of trials in which something happens may lie from its chance, by the binomial:
// 3.2 standard deviations where every seed is known to do, 0.7 % of 95 % in 10,000; 4 where there
// are fewer trials, so that of hundreds of checks none fails by chance.
inline double by_chance(double share, int trials = kTrials) {
  const double deviations = trials < kAllTrials ? 4.0 : 3.2;
  return deviations * std::sqrt(share * (1.0 - share) / trials);
}
// What a bound that was set for all trials gives way by where there are fewer.
inline double for_fewer(double share) { return by_chance(share) - by_chance(share, kAllTrials); }

class Trials {
 public:
  explicit Trials(std::uint64_t seed) : random_(seed) {}

  double even(double low, double high) { return low + (high - low) * random_.real(); }
  std::size_t below(std::size_t count) { return random_.below(count); }
  double normal(double sd) { return sd * random_.normal(); }

 private:
  Random random_;
};

// Of one component over the trials.
class Coverage {
 public:
  void add(const Interval& said, double truth) {
    ++count_;
    held_ += said.low <= truth && truth <= said.high;
  }
  double share() const { return static_cast<double>(held_) / count_; }

 private:
  int count_ = 0, held_ = 0;
};

inline void check_holds_at_least(const Coverage& coverage) {
  CHECK(coverage.share() >= 0.95 - by_chance(0.95));
}

inline void check_holds(const Coverage& coverage) {
  check_holds_at_least(coverage);
  CHECK(coverage.share() <= 0.95 + by_chance(0.95));
}

}  // namespace perrev::testing
