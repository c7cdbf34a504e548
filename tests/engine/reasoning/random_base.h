// Random small rule bases, as the YAML text that a person would write.
//
// Three to six causes and four to nine facts of every kind and lasting, read per case and per
// place, limits with and without classes, rules with every connective, needs, not_with, repairs,
// and a path with gates and stops. Every base loads; its facts together have at most kMostSheets
// answer sheets over all places, so that it can be enumerated.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/load.h"
#include "engine/knowledge/rule_base.h"
#include "tests/engine/reasoning/lcg.h"

namespace perrev::testing {

inline constexpr int kMostSheets = 4096;

// The files of one base. It may be refused for tying facts of different places together; nothing
// else.
std::vector<SourceFile> random_files(Lcg& random);

// Draws until a base loads. Throws std::runtime_error if one is refused for any other reason.
RuleBase random_base(Lcg& random);

// checks.yaml, shop.yaml and path.yaml for these facts and causes; `loose` and `smoke` stop,
// `sound` lifts both, all three are among the facts; no gate asks for smoke.
void add_random_path(Lcg& random, const std::vector<std::string>& facts,
                     const std::vector<std::string>& causes, const std::string& condition_fact,
                     const std::vector<std::string>& condition_answers,
                     std::vector<SourceFile>& files);

// "a, b, c"
std::string joined(const std::vector<std::string>& words);

}  // namespace perrev::testing
