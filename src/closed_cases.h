// The closed cases of a store, as a rule base learns from them.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/closed_case.h"

namespace perrev {

struct ClosedCases {
  std::vector<ClosedCase> cases;  // closed with a cause, and with what proved it
  std::size_t all = 0;            // in the store
  std::size_t unproven = 0;       // closed without a proof
  std::size_t unreadable = 0;     // do not fit the rule base
};
// `since`: a day ("2026-05-04"); what was closed before it is left out. Empty: all.
Result<ClosedCases, Problems> closed_cases(const std::string& store, const RuleBase& base,
                                           const std::string& since = {});

}  // namespace perrev
