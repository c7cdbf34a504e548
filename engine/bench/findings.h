// The weaknesses of a rule base that loads: what is never used, can never be true, counts twice,
// leaves a gap, or tells two causes apart nowhere. engine/bench/finding.h has the kinds.
#pragma once

#include <vector>

#include "engine/bench/finding.h"
#include "engine/knowledge/load.h"

namespace perrev {

// `base` was built of `files`. Sorted by place.
std::vector<Finding> findings(const RuleBase& base, const std::vector<ParsedFile>& files);

}  // namespace perrev
