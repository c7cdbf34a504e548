// Which facts to ask for next, by one who sits at the write-up, on the road or in the bay.
//
// At the write-up a question is asked as long as what it tells is worth its minutes (look_ahead.h).
// On the road and in the bay the checks stand in the order of the plan, and what tells less comes
// after them: what was read there can be entered, planned or not.
#pragma once

#include <functional>
#include <vector>

#include "engine/planning/planner.h"

namespace perrev {

// Facts, best first; empty when nothing is worth asking. `is_open` says of a fact whether it can
// still be asked for.
std::vector<int> facts_to_ask(const Planner& planner, const CaseFacts& facts,
                              const Ranking& ranking, const Offers& offers, const Held& held,
                              Asker by, const std::function<bool(int)>& is_open);

}  // namespace perrev
