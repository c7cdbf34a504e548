// The ends of readings that scatter: scatter picks them, so that they lie too far out.
//
// Where others come near the end, the 95 % interval gives way inwards to the chance that scatter
// picked it (Bonferroni's bound over all that are near); where none does, it is that of the
// readings themselves.
#pragma once

#include <vector>

#include "engine/shopmath/scatter.h"

namespace perrev {

// Highest less lowest.
Interval spread_of(const std::vector<double>& readings, const Scatter& scatter);
Interval lowest_of(const std::vector<double>& readings, const Scatter& scatter);

}  // namespace perrev
