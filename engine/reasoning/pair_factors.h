// Numbers for pairs of causes, in rows.
#pragma once

#include <cstddef>
#include <map>

#include "engine/reasoning/rows.h"

namespace perrev {

struct Pair {
  int first = 0;
  int second = 0;  // greater than first
  bool operator<(const Pair& o) const {
    return first != o.first ? first < o.first : second < o.second;
  }
  bool operator==(const Pair& o) const { return first == o.first && second == o.second; }
};

// One number for each two causes: row(first)[second]. A row is there from from(first), where the
// step begins that the first pair is in; what stands in it beside the pairs is 0.
class PairRows {
 public:
  PairRows() = default;
  explicit PairRows(std::size_t causes)
      : length_(whole_steps(causes)), values_(begin_of(causes), 0.0) {}

  bool empty() const { return values_.empty(); }
  std::size_t length() const { return length_; }  // of a row, counted from cause 0
  static constexpr std::size_t from(std::size_t first) { return (first + 1) / kRowStep * kRowStep; }
  double* row(std::size_t first) { return values_.data() + begin_of(first) - from(first); }
  const double* row(std::size_t first) const {
    return values_.data() + begin_of(first) - from(first);
  }
  double& at(const Pair& pair) { return row(index(pair.first))[index(pair.second)]; }
  double at(const Pair& pair) const { return row(index(pair.first))[index(pair.second)]; }

 private:
  static std::size_t index(int cause) { return static_cast<std::size_t>(cause); }
  // Where the row begins: after `first` rows, less what is missing of each.
  std::size_t begin_of(std::size_t first) const {
    const std::size_t steps = first / kRowStep, rest = first % kRowStep;
    const std::size_t missing = kRowStep / 2 * steps * (steps - 1) + steps * (rest + 1);
    return first * length_ - (steps > 0 ? missing : 0) * kRowStep;
  }

  std::size_t length_ = 0;
  CauseRow values_;
};

// How likely what is known is for each pair, over how likely it is for `not_listed`.
//
// Factors, so that nothing is taken to logarithms and back; the few that a double does not hold
// stand as logarithms beside them. 0 is impossible.
class PairFactors {
 public:
  PairFactors() = default;
  explicit PairFactors(std::size_t causes) : factors_(causes) {}

  bool empty() const { return factors_.empty(); }
  // NaN where only the logarithm is held.
  const PairRows& rows() const { return factors_; }
  // Natural; -infinity where the pair is impossible.
  double log_of(const Pair& pair) const;

  // To be set to 0 and what is held.
  double* row(std::size_t first) { return factors_.row(first); }
  void set_log(const Pair& pair, double log);
  // Each of a row times and over others; what is impossible stays so.
  void times_row(std::size_t first, const double* by);
  void over_row(std::size_t first, const PairFactors& of);

 private:
  PairRows factors_;
  std::map<Pair, double> far_;
};

}  // namespace perrev
