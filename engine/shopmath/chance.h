// What chance alone would do: intervals at other levels than 95 %, and vectors held against it.
#pragma once

#include <vector>

#include "engine/shopmath/vectors.h"

namespace perrev {

// Of size 1; of nothing, along x.
Vector direction_of(Vector of);

// Half of the interval that leaves `outside` of the chance outside of it, both sides together.
double half_width_outside(const Scatter& scatter, double outside);

// Highest less lowest of readings that scatter, and the lowest. Where others come near the end, the
// interval gives way inwards to the chance that scatter picked it (Bonferroni's bound over all that
// are near); where none does, it is that of the readings themselves.
Interval spread_of(const std::vector<double>& readings, const Scatter& scatter);
Interval lowest_of(const std::vector<double>& readings, const Scatter& scatter);

// The vector is no zero: both components together against 95 % (chi-squared, or Hotelling's with
// the F distribution where the scatter was learned).
bool stands_out(const VectorEstimate& of);

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

}  // namespace perrev
