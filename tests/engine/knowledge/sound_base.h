// The invariants that rule_base.h promises of every loaded rule base, as one check for many tests.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev::small {

// What is not as promised, one line each; empty when all holds.
std::vector<std::string> unsound(const RuleBase& base);

// Everything a rule base says, as text: two bases are the same if their texts are.
std::string written_out(const RuleBase& base);

}  // namespace perrev::small
