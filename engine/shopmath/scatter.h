// How far readings scatter, the interval that leaves round a value, and where it stands against a
// limit.
//
// Intervals are of 95 % unless said: value plus and minus Scatter::half_width(), exact for readings
// that scatter normally.
#pragma once

#include <optional>

namespace perrev {

// How a gauge reads; both in the unit of its readings.
struct Gauge {
  double resolution = 0.0;     // one step of the dial
  double repeatability = 0.0;  // standard deviation of the same place read again
  double sd() const;           // of one reading: both, the step as a uniform error
};

// Standard deviation of one reading: known beforehand, or learned from readings themselves.
struct Scatter {
  double sd = 0.0;
  std::optional<double> freedom = std::nullopt;  // degrees, at least 1, where it was learned

  // Of the 95 % interval, in units of the reading: sd times the quantile of the normal distribution
  // or of Student's t.
  double half_width() const;
};

// Half of the interval that leaves `outside` of the chance outside of it, both sides together.
double half_width_outside(const Scatter& scatter, double outside);

// Of the sum or difference of two readings that were read apart (Welch and Satterthwaite).
Scatter scatter_of_sum(const Scatter& one, const Scatter& other);

struct Interval {
  double value = 0.0, low = 0.0, high = 0.0;
};
Interval interval_about(double value, const Scatter& scatter);

enum class Standing { within, beyond, unsettled };
Standing standing(const Interval& of, double limit);

}  // namespace perrev
