#include "engine/knowledge/groups.h"

#include <algorithm>
#include <map>
#include <numeric>

namespace perrev {

namespace {

struct Mention {
  std::vector<int> variables;
  GroupRule rule;  // rule -1: a need
  std::pair<int, AnswerSet> need;
};

int root_of(std::vector<int>& parent, int i) {
  while (parent[static_cast<std::size_t>(i)] != i) {
    parent[static_cast<std::size_t>(i)] =
        parent[static_cast<std::size_t>(parent[static_cast<std::size_t>(i)])];
    i = parent[static_cast<std::size_t>(i)];
  }
  return i;
}

std::vector<FactGroup> group(const RuleBase& base, const std::vector<Mention>& mentions) {
  std::vector<int> parent(base.variables.size());
  std::iota(parent.begin(), parent.end(), 0);
  std::vector<bool> used(base.variables.size(), false);
  for (const Mention& mention : mentions)
    for (const int variable : mention.variables) {
      used[static_cast<std::size_t>(variable)] = true;
      const int a = root_of(parent, mention.variables.front()), b = root_of(parent, variable);
      parent[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
    }
  std::map<int, FactGroup> by_root;
  for (std::size_t v = 0; v < used.size(); ++v) {
    if (!used[v]) continue;
    FactGroup& made = by_root[root_of(parent, static_cast<int>(v))];
    made.variables.push_back(static_cast<int>(v));
    made.sheets = std::min(made.sheets * base.variables[v].size(), kLargestGroup + 1);
  }
  for (const Mention& mention : mentions) {
    FactGroup& made = by_root[root_of(parent, mention.variables.front())];
    if (mention.rule.rule >= 0)
      made.rules.push_back(mention.rule);
    else
      made.needs.push_back(mention.need);
  }
  std::vector<FactGroup> out;
  for (auto& entry : by_root) out.push_back(std::move(entry.second));
  return out;
}

}  // namespace

std::vector<std::vector<FactGroup>> all_groups(const RuleBase& base) {
  std::vector<std::vector<Mention>> mentions(base.causes.size() + 1);
  for (std::size_t r = 0; r < base.rules.size(); ++r) {
    const std::vector<int> variables = base.rules[r].when.variables();
    if (variables.empty()) continue;
    for (const Rule::Effect& effect : base.rules[r].effects)
      mentions[static_cast<std::size_t>(effect.cause)].push_back(
          {variables, {static_cast<int>(r), effect.log_ratio}, {}});
  }
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    for (const auto& need : base.causes[c].needs) mentions[c].push_back({{need.first}, {}, need});
  std::vector<std::vector<FactGroup>> out;
  for (const auto& of_cause : mentions) out.push_back(group(base, of_cause));
  return out;
}

std::vector<FactGroup> groups_of(const RuleBase& base, int cause) {
  return all_groups(base)[static_cast<std::size_t>(cause)];
}

}  // namespace perrev
