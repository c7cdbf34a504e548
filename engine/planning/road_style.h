// How a manoeuvre is driven, and when in the drive it comes.
//
// Known by the first fact it learns, or by a frequency that it records, so that it holds for any
// check of the rule base that learns the same. A check that learns none of these facts is driven in
// the middle of the drive, at no speed of its own. The order is a driver's: standing, then at
// walking pace, gently on ordinary roads, the speed found and held, then what changes gear and
// pull, the hard ones, and the brakes at the end with the firm stop last. Trade practice.
#pragma once

#include "engine/knowledge/rule_base.h"

namespace perrev {

enum class RoadKind {
  standing,      // nothing moves
  walking_pace,  // in the yard
  own,           // its text names a speed of its own
  any,           // no speed matters
  sweep,         // slowly up through the band
  hold,          // at the felt speed
  record,        // at the speeds of the recording
  lower_gear,    // at the felt speed, one gear lower
  coast          // down through the band
};

struct RoadStyle {
  int stage = 0;  // lower comes first
  RoadKind kind = RoadKind::any;
};

RoadStyle road_style(const RuleBase& base, int check);

}  // namespace perrev
