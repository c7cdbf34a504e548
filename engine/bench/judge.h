// A reference case held against what it must come to.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/deciders.h"
#include "engine/bench/expectation.h"
#include "engine/planning/plan.h"

namespace perrev {

// One thing that did not come as expected.
struct Miss {
  std::string key;       // of the reference: "rank", "not_above", ...
  std::string expected;  // for people, without full stops
  std::string came;
  std::string cause;  // its id; empty: about none in particular
  std::string above;  // rank: the highest cause that is not true
  // What lifted `above` over `cause` (rank), or the cause that is too high: by rules, and by how
  // usual it is (below 0: the other is more usual). Empty and 0 where no ranking decides: stops,
  // state, next.
  std::vector<Decider> deciders;
  double prior_decibans = 0.0;
};

// In the order of the keys in expectation.h. The planner is asked only where `next` is.
std::vector<Miss> judge(const Planner& planner, const CaseFile& file, const CaseFacts& facts,
                        const Ranking& ranking, const Expectation& expected);

// What a plan puts first: the id of a check, "the repair ...", "hand it on" or "drive it again".
std::string step_name(const RuleBase& base, const PlannedStep& step);

enum class CaseStanding { passed, failed, known_gap, gap_closed, unreadable };
std::string name_of(CaseStanding standing);
// Whether the run fails by it.
bool fails(CaseStanding standing);

// A reference case after its test.
struct TestedCase {
  std::string name;  // of its file, without .json
  CaseStanding standing = CaseStanding::unreadable;
  Problems problems;  // unreadable
  std::string about, known_gap;
  std::vector<Miss> misses;
};

// Of a case that could be read.
TestedCase tested_case(const std::string& name, const Expectation& expected,
                       std::vector<Miss> misses);

}  // namespace perrev
