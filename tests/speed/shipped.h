// The shipped rule base and what reasons with it, loaded once, for all benchmarks. What cannot be
// read ends the program, with its problems on stderr.
#pragma once

#include <string>

#include "engine/casefile/facts_of.h"
#include "engine/reasoning/ranking.h"

namespace perrev {

const RuleBase& shipped();
// By rules and computations, as the program reasons.
const Reasoner& reasoner();
CaseFile case_or_die(const std::string& shown, const std::string& text);
CaseFacts facts_or_die(const CaseFile& file);

}  // namespace perrev
