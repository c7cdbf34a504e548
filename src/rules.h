// The rule base from a folder on disk: found, read and parsed, two files at a time.
#pragma once

#include <string>

#include "engine/knowledge/load.h"

namespace perrev {

// The folder that was asked for; else PERREV_RULES of the environment; else where the program was
// built.
std::string rules_folder(const std::string& asked);

Result<RuleBase, Problems> load_rules(const std::string& folder);

}  // namespace perrev
