// What is large somewhere round a turn, as a vector: an amount and a place.
//
// A vector is a complex number: its size is the amount, its angle the place in radians, counted
// from the mark (the valve, a chalk line) towards where the dial's numbers grow. Whoever reads a
// wheel says which way that is, once, and keeps to it.
//
// Intervals are of 95 %. A component's is value plus and minus Scatter::half_width() times the
// standard deviation of the component: exact for readings that scatter normally.
#pragma once

#include <complex>
#include <optional>

namespace perrev {

using Vector = std::complex<double>;

Vector vector_at(double amount, double angle);
double angle_of(Vector of);  // 0 up to 2 pi

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

// Of the sum or difference of two readings that were read apart (Welch and Satterthwaite).
Scatter together(const Scatter& one, const Scatter& other);

struct Interval {
  double value = 0.0, low = 0.0, high = 0.0;
};
Interval interval_about(double value, const Scatter& scatter);

// A vector from readings: variances of its components for readings of standard deviation 1.
struct VectorEstimate {
  Vector value;
  double xx = 0.0, xy = 0.0, yy = 0.0;
  Scatter scatter;

  Interval x() const;
  Interval y() const;
  // By the standard deviation along the vector; never below zero. For a vector within its own
  // uncertainty the low end is zero.
  Interval amount() const;
  // Half of the 95 % interval of the place, radians; pi where the place is not known.
  double angle_half_width() const;
};

// Of vectors that were read apart: the difference one - other, each with the scatter of its own.
VectorEstimate difference(const VectorEstimate& one, const VectorEstimate& other);
// The vector seen from elsewhere: times `by`, a factor and a turn.
VectorEstimate times(const VectorEstimate& of, Vector by);

}  // namespace perrev
