// A condition over every sheet of answers to its variables: what it can be and what it implies.
#pragma once

#include <optional>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

struct TruthTable {
  std::vector<int> variables;  // sorted
  std::vector<int> sizes;      // answers of each; the first counts fastest
  std::vector<bool> yes;       // by sheet

  bool always() const;
  bool never() const;
};

// None for a condition that tests nothing or has more than kLargestGroup sheets.
std::optional<TruthTable> truth_table(const RuleBase& base, const Condition& condition);

// Whenever `a` is true `b` is; both over the same variables.
bool implies(const TruthTable& a, const TruthTable& b);

}  // namespace perrev
