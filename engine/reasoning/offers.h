// What may be done now: gates, stops, and the frontier of the decision graph.
//
// A check is done when each fact it learns has a value or is unsure in this round, or when it was
// entered as not possible. It is offered when it is not done, some edge to it has its source done
// and its condition true (unknown is not true), its asked_if is not known to be false, and the shop
// has the equipment. A gate is passed only when each of its facts is clear in this round: it has
// its clear answer, or the bay has entered a clear answer of the fact that lifts its stop; unknown
// and unsure do not pass by themselves. While a stop holds, nothing that moves is offered, whatever
// the path says.
#pragma once

#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

struct GateState {
  int gate = -1;
  bool passed = false;
  std::vector<int> missing;  // facts that are not clear yet, in the order of the gate
};

struct Offers {
  std::vector<int> checks;       // offered now, in the order of the rule base
  std::vector<GateState> gates;  // every gate
};

bool is_done(const RuleBase& base, const RoundFacts& round, int check);
// Whether the fact may be asked: its own asked_if is not known to be false.
bool is_asked(const RuleBase& base, const RoundFacts& round, int fact);
// Not done, not known not to apply, and the shop has what it takes; whatever the path says.
bool can_be_done(const RuleBase& base, const RoundFacts& round, int check);
Offers offers_of(const RuleBase& base, const CaseFacts& facts);
// Whether an edge leads on: its source is done (of a gate: passed where the edge asks it, else
// whatever it says) and its condition true. `gates` as in Offers.
bool is_open(const RuleBase& base, const RoundFacts& round, const std::vector<GateState>& gates,
             const PathEdge& edge);

}  // namespace perrev
