// One manoeuvre of the road-test page: what to do and how fast, what to watch with room for what
// was found, what a recording would show, the caution.
#pragma once

#include <string>

#include "engine/planning/road_plan.h"

namespace perrev {

// Wrapped to the page; its boxes to tick are still kBox (road_words.h). `dense` leaves out all but
// the two questions that tell most.
std::string manoeuvre_text(const RuleBase& base, const CaseFacts& facts, const RoadPlan& plan,
                           std::size_t manoeuvre, Units units, bool dense);

}  // namespace perrev
