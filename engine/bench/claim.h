// What a rule says of one name, as it is written: one strength, for or against.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/written.h"

namespace perrev {

struct Claim {
  int rule = -1;
  std::string name;          // of a cause or a family
  std::string strength;      // as it is written: a word of strengths.yaml, or a number
  double log_ratio = 0.0;    // natural; below 0 speaks against
  std::vector<int> causes;   // that it speaks of: of a family those the rule does not name itself
  std::string file;          // as the rule base calls it
  int line = 0, column = 0;  // of the strength
};

// Of all rules, in their order and as they stand there; those that speak of no cause are left out.
std::vector<Claim> claims_of(const Written& written);

// Makes the claim another strength, on its side.
void say(RuleBase& base, const Claim& claim, const NumberWord& strength);

}  // namespace perrev
