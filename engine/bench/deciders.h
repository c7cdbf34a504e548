// Which rules make the difference between two causes of a case.
#pragma once

#include <string>
#include <vector>

#include "engine/reasoning/reasons.h"

namespace perrev {

// Something that weighs for `higher` against `lower`.
struct Decider {
  int rule = -1;          // index into RuleBase::rules; -1 where something else than a rule weighs
  std::string name;       // the rule's id; else the provider's name, or the facts, joined by +
  double decibans = 0.0;  // above 0; infinite where it rules `lower` out
  std::string because;    // for `higher`, or against `lower`
};

// The heaviest first, at most `most`, ties by name. `lower` may be -1: against `not_listed`.
//
// The weight of a group of facts is shared out among the rules that decided its sign, in proportion
// to the logarithms of their strengths; what a rule says of both causes is set off.
std::vector<Decider> deciders(const Reasoner& reasoner, const CaseFacts& facts, int higher,
                              int lower, std::size_t most = 3);

// How much more usual `higher` is than `lower`, or than what is not listed (-1), in decibans.
double prior_decibans(const Reasoner& reasoner, int higher, int lower);

// By name; below 0 what weighs for `lower`.
std::vector<Decider> all_that_weighs(const Reasoner& reasoner, const CaseFacts& facts, int higher,
                                     int lower);

}  // namespace perrev
