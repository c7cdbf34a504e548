// A small rule base with a cause for each way to shake, and the facts that the arithmetic of
// rotating parts reads.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev::testing {

RuleBase base_of_shakes();

// The value "unsure" is the answer unsure.
struct BayEntry {
  std::string fact;
  std::vector<std::string> values;
  std::string place;
  std::map<std::string, std::string> with;
};
CaseFacts facts_from(const RuleBase& base, const std::vector<BayEntry>& told);

}  // namespace perrev::testing
