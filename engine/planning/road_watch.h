// What to watch during a manoeuvre: the facts it learns, and which suspects each answer points to.
//
// A suspect stands at the answers that it gives more often than the suspects it is told apart from,
// summed over those: at the one where the difference is largest, and at others where it is at least
// half as large. Suspects that nothing in the fact tells apart from another stand nowhere.
#pragma once

#include <cstddef>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/planning/road_answers.h"

namespace perrev {

struct RoadAnswer {
  int variable = -1;
  int answer = -1;                    // of the variable; 1 (yes) for an answer of a `several`
  std::vector<std::size_t> suspects;  // ascending
};

struct RoadWatch {
  int fact = -1;
  bool tells = false;               // some two suspects apart
  double apart = 0.0;               // the two that it sets furthest apart: a total variation
  std::vector<RoadAnswer> answers;  // in the order of the rule base; none where a provider answers
};

// Of the tables of one check, in their order.
std::vector<RoadWatch> road_watches(const RuleBase& base, const std::vector<AnswerTable>& tables);

}  // namespace perrev
