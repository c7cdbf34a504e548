// What a rule base misses with something new in it, and the command that adds it.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/finding.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

// "felt" or "evidence/felt.yaml": a file of evidence as the rule base names it. Refused where it
// could lie anywhere else.
Result<std::string> evidence_file(const std::string& said);

// Empty where no command mends it.
std::string command_for(const Finding& finding, const RuleBase& base);

std::string findings_text(const std::vector<Finding>& found, const RuleBase& base);
// What to run then. `case_path` is empty where no case was written.
std::string next_text(const std::string& rules, const std::string& case_path);

}  // namespace perrev
