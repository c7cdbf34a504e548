// What checks showed: each cause with the readings that show it, and what the same place read after
// the repair.
#pragma once

#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

// A reading that shows the cause, and the last reading of the same fact at the same place in a
// later round; null where it was not read again. Facts that last with the vehicle have no later
// reading of their own.
struct FindingLine {
  const Reading* before = nullptr;
  const Reading* after = nullptr;
  std::size_t before_round = 0, after_round = 0;
};

struct FaultFound {
  int cause = -1;
  std::vector<FindingLine> lines;  // in the order of facts and places
  bool in_force = false;           // not repaired since
  std::size_t shown_in = 0;        // the first round in which it was shown
  std::size_t repaired_in = 0;     // the round that its repair opened; 0 while it was not repaired
};

// In the order in which they were shown. Points into `facts`.
std::vector<FaultFound> findings_of(const RuleBase& base, const CaseFacts& facts);

// Of each fact with a limit and each place the latest reading, of whatever round; by fact and
// place.
std::vector<const Reading*> latest_held(const RuleBase& base, const CaseFacts& facts);

// Those of them that are beyond their limit and show no cause by themselves.
std::vector<const Reading*> beyond_limits(const RuleBase& base, const CaseFacts& facts,
                                          const std::vector<FaultFound>& findings);

}  // namespace perrev
