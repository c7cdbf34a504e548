// A small rule base with a cause for each way to shake, and the facts that the arithmetic of
// rotating parts reads.
#pragma once

#include "engine/knowledge/rule_base.h"

namespace perrev::testing {

RuleBase base_of_shakes();

}  // namespace perrev::testing
