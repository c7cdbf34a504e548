// The closed cases of a store, as a rule base learns from them.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/closed_case.h"

namespace perrev {

struct ClosedCases {
  std::vector<ClosedCase> cases;  // closed with a cause, and with what proved it
  int all = 0;                    // in the store
  int unproven = 0;               // closed without a proof
  Problems unreadable;            // of cases that do not fit the rule base
};
Result<ClosedCases, Problems> closed_cases(const std::string& store, const RuleBase& base);

}  // namespace perrev
