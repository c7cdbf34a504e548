// The rule base that the project ships, loaded once. For tests of the engine and the fuzz targets,
// which have no src/rules.h. Throws std::runtime_error where it does not load.
#pragma once

#include "engine/knowledge/rule_base.h"

namespace perrev::testing {

const RuleBase& shipped_rules();

}  // namespace perrev::testing
