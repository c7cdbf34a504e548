// Cases for benchmarks: complaints drawn from the rule base (planning/complaint.h), of which 30 to
// 50 facts are answered, at every place where they are read, whatever order they would be asked in.
#pragma once

#include <string>
#include <vector>

#include "engine/reasoning/ranking.h"

namespace perrev {

// As the JSON of case files; the n-th is always the same.
std::vector<std::string> made_up_cases(const Reasoner& reasoner, int count);

}  // namespace perrev
