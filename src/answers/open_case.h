// A case read against the rule base, with its axles checked.
#pragma once

#include <string>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

inline constexpr std::size_t kLargestCaseFile = 16u << 20;

struct OpenCase {
  CaseFile file;
  CaseFacts facts;
};
// Facts of a case whose vehicle makes sense in every round.
Result<CaseFacts, Problems> checked_facts(const CaseFile& file, const RuleBase& base);
// `shown` names the case in problems.
Result<OpenCase, Problems> read_case(const std::string& shown, const std::string& text,
                                     const RuleBase& base);

}  // namespace perrev
