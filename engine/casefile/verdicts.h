// What the checks of a case showed.
#pragma once

#include "engine/casefile/facts_of.h"

namespace perrev {

// Fills `shown` of the rounds and `verdicts`, from readings and answers of the rounds and the
// repairs that opened them.
void find_verdicts(const RuleBase& base, CaseFacts& facts);

}  // namespace perrev
