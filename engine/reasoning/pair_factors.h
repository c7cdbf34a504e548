// How likely what is known is for each pair, over how likely it is for `not_listed`.
//
// Factors, so that nothing is taken to logarithms and back; the few that a double does not hold
// stand as logarithms beside them. 0 is impossible.
#pragma once

#include <cmath>
#include <cstddef>
#include <limits>
#include <map>
#include <vector>

namespace perrev {

class PairFactors {
 public:
  static constexpr double kSmallest = 1e-290, kLargest = 1e290;
  static bool held(double factor) { return factor > kSmallest && factor < kLargest; }

  PairFactors() = default;
  explicit PairFactors(std::size_t pairs) : factors_(pairs, 0.0) {}

  std::size_t size() const { return factors_.size(); }
  // NaN where only the logarithm is held.
  const double* data() const { return factors_.data(); }
  // Natural; -infinity where the pair is impossible.
  double log_of(std::size_t pair) const {
    return std::isnan(factors_[pair]) ? far_.at(pair) : std::log(factors_[pair]);
  }
  // `factor` is 0 or held.
  void set(std::size_t pair, double factor) { factors_[pair] = factor; }
  void set_log(std::size_t pair, double log) {
    const double factor = std::exp(log);
    const bool as_factor = held(factor) || log == -std::numeric_limits<double>::infinity();
    factors_[pair] = as_factor ? factor : std::numeric_limits<double>::quiet_NaN();
    if (!as_factor) far_[pair] = log;
  }
  // What is impossible stays so.
  void times(std::size_t pair, double by) {
    if (factors_[pair] == 0.0) return;
    const double product = factors_[pair] * by;
    if (held(product))
      factors_[pair] = product;
    else
      set_log(pair, log_of(pair) + std::log(by));
  }
  void over(std::size_t pair, const PairFactors& of) {
    if (factors_[pair] == 0.0) return;
    const double ratio = factors_[pair] / of.factors_[pair];
    if (held(ratio))
      factors_[pair] = ratio;
    else
      set_log(pair, log_of(pair) - of.log_of(pair));
  }

 private:
  std::vector<double> factors_;
  std::map<std::size_t, double> far_;
};

}  // namespace perrev
