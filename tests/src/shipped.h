// The rule base that the project ships, loaded once.
#pragma once

#include "src/answers/reasoning.h"

namespace perrev::test {

const RuleBase& shipped_rules();
const Reasoning& shipped_reasoning();

}  // namespace perrev::test
