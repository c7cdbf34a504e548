// What is large somewhere round a turn, as a vector: an amount and a place.
//
// A vector is a complex number: its size is the amount, its angle the place in radians, counted
// from the mark (the valve, a chalk line) towards where the dial's numbers grow. Whoever reads a
// wheel says which way that is, once, and keeps to it.
#pragma once

#include <complex>
#include <vector>

#include "engine/shopmath/scatter.h"

namespace perrev {

using Vector = std::complex<double>;

Vector vector_at(double amount, double angle);
double angle_of(Vector of);      // 0 up to 2 pi
Vector direction_of(Vector of);  // of size 1; of nothing, along x

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

// Of one surface, by one gauge: those whose scatter was learned learn it together. Without it, few
// readings make intervals too wide: Welch's freedom for twice four readings holds 97.6 %.
std::vector<VectorEstimate> pooled(std::vector<VectorEstimate> of);

// Sum of by[i] of[i], the vectors read apart from each other; both of one length. Equal scatters
// are one and the same: known, or pooled.
VectorEstimate blend(const std::vector<VectorEstimate>& of, const std::vector<Vector>& by);

// How much larger the blend by `one` is than that by `other`, of the same vectors. The interval is
// linearised: good where both stand well clear of their own uncertainty.
Interval amount_apart(const std::vector<VectorEstimate>& of, const std::vector<Vector>& one,
                      const std::vector<Vector>& other);

// The vector is no zero: both components together against 95 % (chi-squared, or Hotelling's with
// the F distribution where the scatter was learned).
bool stands_out(const VectorEstimate& of);

}  // namespace perrev
