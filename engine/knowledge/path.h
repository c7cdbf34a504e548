// The decision graph: checks, gates and ends as vertices, conditions on edges (Boost.Graph inside).
//
// Loading proves, or tells where it fails:
//   1. there are no circles;
//   2. every vertex can be reached from the start;
//   3. from every vertex some end (a verdict, a referral, no fault) can be reached;
//   4. every check that moves the car or spins a wheel is dominated by the passed side of a gate
//      that guards it (Lengauer and Tarjan 1979): no way leads round the gate;
//   5. an edge straight from a gate to a check of a kind that it guards asks `passed`, even where
//      another gate guards the check as well.
#pragma once

#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/result.h"

namespace perrev {

Problems check_path(const RuleBase& base);

// For each vertex the edges that lead to it, as indices into RuleBase::edges.
std::vector<std::vector<int>> incoming_edges(const RuleBase& base);

// For each check the gates whose passed side dominates it, sorted: nothing reaches it round them.
std::vector<std::vector<int>> guarding_gates(const RuleBase& base);

}  // namespace perrev
