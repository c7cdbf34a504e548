// What the words and the JSON of a diagnosis share.
#pragma once

#include <string>
#include <vector>

#include "src/answers/diagnosis.h"

namespace perrev {

inline const Cause& cause_of(const RuleBase& base, int cause) {
  return base.causes[static_cast<std::size_t>(cause)];
}
inline const Fact& fact_of(const RuleBase& base, int fact) {
  return base.facts[static_cast<std::size_t>(fact)];
}

bool asked_now(const RuleBase& base, const CaseFacts& facts, const char* id);

// After a repair it was driven or asked about again, and nothing is wrong any more.
bool is_proved(const RuleBase& base, const CaseFacts& facts, const Ranking& ranking);

// What an end of the path means; empty when there is none of that id.
std::string end_words(const RuleBase& base, const std::string& id);

// Where the case stands: what is shown to be wrong or right, or that it has to go to somebody else;
// the id of an end of the path, empty while the case is open.
std::string end_of(const RuleBase& base, const CaseFacts& facts, const Diagnosis& diagnosis);

// Checks that would show the leading cause, as long as it is probable and not shown: offered ones,
// else those that the path will offer once cheaper ones are done.
std::vector<int> confirming(const RuleBase& base, const CaseFacts& facts,
                            const Diagnosis& diagnosis);

// Why a step stands where it stands in a plan.
std::string why_next(const Plan& plan, const PlannedStep& step);

}  // namespace perrev
