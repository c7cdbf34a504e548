// Random trials: how often a 95 % interval holds what is true.
#pragma once

#include <doctest/doctest.h>

#include "engine/random.h"
#include "engine/shopmath/vectors.h"

namespace perrev::testing {

inline constexpr int kTrials = 10000;

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

// 10,000 trials of 95 % hold 94.57 to 95.43 % of the time, two standard deviations; wider by a
// little so that one seed in many does not fail.
inline void check_holds(const Coverage& coverage) {
  CHECK(coverage.share() >= 0.943);
  CHECK(coverage.share() <= 0.957);
}

}  // namespace perrev::testing
