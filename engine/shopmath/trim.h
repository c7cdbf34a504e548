// Trimming after a check spin: what is still to be done, and what the check spin tells of the
// balancer itself.
//
// All in one plane and in one unit of unbalance (mass at one radius, or moment); angles rad. The
// balancer's response is a factor and a turn: what it shows for a weight known to have been put
// on. 1 is a balancer that reads true. One check spin tells the response of each plane to its own
// weight; what a weight does to the other plane's reading takes runs with one weight at a time
// (influence.h). Vectors: any handbook of field balancing.
#pragma once

#include <optional>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

struct Response {
  VectorEstimate factor;  // shown over true
  double amount() const { return std::abs(factor.value); }
  // How far the place shown lies beyond the true one, -pi to pi.
  double lag() const { return std::arg(factor.value); }
  // Within 20 % and 15 degrees of 1, or one within its uncertainty: common practice.
  bool reads_true() const;
};

// A known weight was put on (or taken off: minus) between two spins. A problem where the reading
// did not change by more than its own uncertainty.
Result<Response> response(const VectorEstimate& before, const VectorEstimate& after, Vector put_on);

struct Trim {
  VectorEstimate add;      // a weight to add to those that are on
  Vector replaced;         // or one weight instead of all that are on
  Vector moved;            // or the weight that is on, its mass kept, at another place
  double left_when_moved;  // what that leaves
};

// Taking the balancer at its word: what it shows is there.
Trim trim(const VectorEstimate& check_spin, Vector that_are_on);
// With the response the check spin itself tells: the spins before and after `put_on`, all that was
// changed between them. `that_are_on`: the plane's weights at the check spin, `put_on` among them.
Result<Trim> trim_by_response(const VectorEstimate& before, const VectorEstimate& check_spin,
                              Vector put_on, Vector that_are_on);

}  // namespace perrev
