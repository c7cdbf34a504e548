// Re-seating check: is it the wheel, or how it sits? A wheel read in two or more mountings, turned
// on the balancer's adapter or on its hub by known angles between.
//
// Read as engine/shopmath/turned.h: what stays with the shaft or hub is the mounting, what turns
// along is the wheel's own. Any vector: imbalance (kg, kg m), runout (m), force (N). Two planes of
// a balance are two calls. A mounting scatters by its seating too, not by its reading alone: what
// seating_spread finds is what index_wheel should know. Two mountings half a turn apart are the
// index balancing of ISO 21940-14.
//
// The trap: read on the shaft, the change from one mounting to the other is the wheel's own part
// times |1 - e^(j phi)|, and half a turn makes that twice the part: neither the part itself nor the
// mounting's. Read from the valve, it is the mounting's part times as much.
#pragma once

#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/scatter.h"
#include "engine/shopmath/turned.h"

namespace perrev {

// A reading with one flange missing is less certain by this factor: from memory.
inline constexpr double kOneFlangeWidening = 1.4142135623730951;

struct Mounting {
  double turn = 0.0;  // rad, from the first mounting, towards where the dial's numbers grow
  Vector read;
  bool one_flange = false;
};

struct Indexing {
  TurnedParts parts;  // stays: the mounting; turns: the wheel
  // Of each mounting to the first: how much the reading changed.
  std::vector<double> changes;

  VectorEstimate mounting() const { return parts.staying(); }
  VectorEstimate wheel() const { return parts.turning(); }
  // What the reading changes by, half a turn on, for someone who counts from that mark.
  Interval half_turn_change(CountedFrom from) const;
};

// Amount of the mounting error alone against a limit: standing(indexing.mounting().amount(),
// limit).
Result<Indexing> index_wheel(const std::vector<Mounting>& mountings, CountedFrom from,
                             const std::optional<Scatter>& known = std::nullopt);

// Taken off and seated again, always at the same place: how far one mounting is from another.
struct SeatingSpread {
  VectorEstimate mean;  // its scatter is of one seating with its reading: index_wheel takes it
  Interval sd;          // of a component of one seating, with its reading; by chi-square
};
Result<SeatingSpread> seating_spread(const std::vector<Vector>& readings);

}  // namespace perrev
