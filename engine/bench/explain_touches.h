// What touches what in a rule base: where a fact is used, who speaks of a cause.
//
// All lists are indices in the order of the rule base, each once.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/computed.h"

namespace perrev {

bool speaks_of(const RuleBase& base, const Condition& condition, int fact);

struct FactUse {
  std::vector<int> rules;     // whose condition reads it
  std::vector<int> causes;    // of which such a rule speaks, or that need it; nothing_left last
  std::vector<int> checks;    // that learn it
  std::vector<int> edges;     // of the path, whose condition reads it
  std::vector<int> gates;     // that ask it
  std::vector<int> facts;     // asked only where this one does not speak against it
  std::vector<int> limits;    // of other facts, whose class it picks
  std::vector<int> verdicts;  // checks whose verdict on some cause reads it
  bool computed = false;      // the arithmetic of the vehicle reads it (vehicle_of.h)
};
FactUse use_of(const RuleBase& base, int fact);

// A rule on a cause.
struct SpokenRule {
  int rule = -1;
  Rule::Effect effect;
};
// What the rule says of the cause; null where it says nothing.
const Rule::Effect* effect_on(const Rule& rule, int cause);
// `cause` may be RuleBase::nothing_left(). Strongest first, for before against, ties in file order.
std::vector<SpokenRule> rules_on(const RuleBase& base, int cause);
std::vector<int> checks_confirming(const RuleBase& base, int cause);

// Another rule that is weighed in one group with this one (groups.h), and for which causes.
struct RuleBeside {
  int rule = -1;
  std::vector<int> causes;
};
std::vector<RuleBeside> rules_beside(const RuleBase& base, int rule);

// The name of a cause; of nothing_left in words.
std::string cause_name(const RuleBase& base, int cause);
std::string cause_id(const RuleBase& base, int cause);

// 10 log10 of the odds ratio of a rule's effect.
double decibans_of(double log_ratio);

}  // namespace perrev
