// A case whose fault was found, as it was before the first repair: what a rule base is measured by.
#pragma once

#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/reasoning/ranking.h"

namespace perrev {

struct ClosedCase {
  std::string name;
  std::vector<int> causes;  // sorted; empty: nothing that the rule base lists
  CaseFacts facts;          // of one round
};

// Minus the natural logarithm of the probability that the ranking gives to what was found: mean
// over the causes; of not_listed where there are none. At most 20.
double log_loss(const Reasoner& reasoner, const ClosedCase& closed);

}  // namespace perrev
