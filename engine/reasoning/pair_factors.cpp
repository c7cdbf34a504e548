#include "engine/reasoning/pair_factors.h"

#include <cmath>
#include <limits>

namespace perrev {

double PairFactors::log_of(const Pair& pair) const {
  const double factor = factors_.at(pair);
  return std::isnan(factor) ? far_.at(pair) : std::log(factor);
}

void PairFactors::set_log(const Pair& pair, double log) {
  const double factor = std::exp(log);
  const bool as_factor = held(factor) || log == -std::numeric_limits<double>::infinity();
  factors_.at(pair) = as_factor ? factor : std::numeric_limits<double>::quiet_NaN();
  if (!as_factor) far_[pair] = log;
}

void PairFactors::times_row(std::size_t first, const double* by) {
  double* const row = factors_.row(first);
  if (times_if_held(row, by, PairRows::from(first), factors_.length())) return;
  for (std::size_t second = first + 1; second < factors_.length(); ++second) {
    if (row[second] == 0.0) continue;
    const Pair pair{static_cast<int>(first), static_cast<int>(second)};
    if (held(row[second] * by[second]))
      row[second] *= by[second];
    else
      set_log(pair, log_of(pair) + std::log(by[second]));
  }
}

void PairFactors::over_row(std::size_t first, const PairFactors& of) {
  double* const row = factors_.row(first);
  const double* const under = of.factors_.row(first);
  for (std::size_t second = first + 1; second < factors_.length(); ++second) {
    if (row[second] == 0.0) continue;
    const Pair pair{static_cast<int>(first), static_cast<int>(second)};
    if (held(row[second] / under[second]))
      row[second] /= under[second];
    else
      set_log(pair, log_of(pair) - of.log_of(pair));
  }
}

}  // namespace perrev
