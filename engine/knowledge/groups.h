// Which facts belong together for a cause: facts that share a rule about it form one group.
//
// Groups are over variables (rule_base.h). Within a group, P(sheet | cause) is proportional to the
// base rates times the strengths of the cause's rules that are true on the sheet; groups are
// independent.
#pragma once

#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

// A rule's part in a group: its condition and the natural logarithm of its odds ratio.
struct GroupRule {
  int rule = -1;  // index into RuleBase::rules
  double log_ratio = 0.0;
};

struct FactGroup {
  std::vector<int> variables;  // sorted
  std::vector<GroupRule> rules;
  std::vector<std::pair<int, AnswerSet>> needs;  // variable, answers that allow the cause
  int sheets = 1;  // product of answers, capped just above kLargestGroup
};

// `cause` may be RuleBase::nothing_left(). Sorted by first variable.
std::vector<FactGroup> groups_of(const RuleBase& base, int cause);
// The same for every cause and nothing_left at once.
std::vector<std::vector<FactGroup>> all_groups(const RuleBase& base);

}  // namespace perrev
