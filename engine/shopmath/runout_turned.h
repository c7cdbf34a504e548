// One runout read twice, the part turned on its hub in between: what goes with the part and what
// stays with the hub.
//
//     first = hub + part        second = hub + part e^(j turn)
// Both read against the mark on the hub; `turn` (rad) is how far the part was turned towards where
// the dial's numbers grow. One surface read by one dial: a scatter that was learned is learned from
// both. Source: indexing as in ISO 21940-14, for any angle: five studs turn by
// 72 or 144 degrees, never by half a turn.
#pragma once

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

enum class RunoutFollows { part, hub, both, nothing };

struct TurnedRunout {
  VectorEstimate part;  // as it stood first
  VectorEstimate hub;
  RunoutFollows follows = RunoutFollows::nothing;  // which is larger beyond 95 %; both: neither is
};

Result<TurnedRunout> runout_turned(const VectorEstimate& first, const VectorEstimate& second,
                                   double turn);

}  // namespace perrev
