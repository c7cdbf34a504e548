// A reference case proposed for a cause: what a vehicle with it would show, and what must come of
// it. It is an offer to a trainer who knows a real vehicle, and says so.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/result.h"

namespace perrev {

// One answer of a case, as its entry writes it.
struct SeenAnswer {
  int fact = -1;
  std::vector<std::string> values;
};

// "exhaust_hanger: torn", "felt_at: seat, floor".
Result<SeenAnswer> read_seen(const RuleBase& base, const std::string& said);

// What makes the condition true: of several ways the first. Nothing for what it denies.
std::vector<SeenAnswer> answers_for(const RuleBase& base, const Condition& condition);
// What the cause needs, and what makes the rules speak that are most about it.
std::vector<SeenAnswer> answers_of_cause(const RuleBase& base, int cause);

// The case as JSON, one entry a line. `shown`: where the answers show the cause for certain, it
// must come out so.
std::string reference_case(const RuleBase& base, int cause, const std::vector<SeenAnswer>& seen,
                           bool shown);

}  // namespace perrev
