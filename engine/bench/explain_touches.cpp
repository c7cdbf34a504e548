#include "engine/bench/explain_touches.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "engine/casefile/vehicle_of.h"
#include "engine/knowledge/groups.h"

namespace perrev {

namespace {

template <class Items, class Uses>
std::vector<int> where(const Items& items, const Uses& uses) {
  std::vector<int> out;
  for (std::size_t i = 0; i < items.size(); ++i)
    if (uses(items[i])) out.push_back(static_cast<int>(i));
  return out;
}

bool holds(const std::vector<int>& list, int item) {
  return std::find(list.begin(), list.end(), item) != list.end();
}

}  // namespace

bool speaks_of(const RuleBase& base, const Condition& condition, int fact) {
  return holds(facts_in(base, condition), fact);
}

FactUse use_of(const RuleBase& base, int fact) {
  const auto reads = [&](const Condition& condition) { return speaks_of(base, condition, fact); };
  FactUse out;
  out.rules = where(base.rules, [&](const Rule& rule) { return reads(rule.when); });
  std::vector<bool> touched(base.causes.size() + 1, false);
  for (const int r : out.rules)
    for (const Rule::Effect& effect : base.rules[static_cast<std::size_t>(r)].effects)
      touched[static_cast<std::size_t>(effect.cause)] = true;
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    for (const auto& need : base.causes[c].needs)
      if (base.variables[static_cast<std::size_t>(need.first)].fact == fact) touched[c] = true;
  for (std::size_t c = 0; c < touched.size(); ++c)
    if (touched[c]) out.causes.push_back(static_cast<int>(c));
  out.checks = where(base.checks, [&](const Check& check) { return holds(check.learns, fact); });
  out.edges = where(base.edges, [&](const PathEdge& edge) { return reads(edge.when); });
  out.gates = where(base.gates, [&](const Gate& gate) { return holds(gate.asks, fact); });
  out.facts = where(base.facts, [&](const Fact& other) { return reads(other.asked_if); });
  out.limits = where(base.limits, [&](const Limit& limit) { return limit.class_by == fact; });
  out.verdicts = where(base.checks, [&](const Check& check) {
    return std::any_of(check.confirms.begin(), check.confirms.end(),
                       [&](const auto& verdict) { return reads(verdict.second); });
  });
  const std::vector<std::string_view>& computed = vehicle_facts();
  const std::string_view id = base.facts[static_cast<std::size_t>(fact)].id;
  out.computed = std::find(computed.begin(), computed.end(), id) != computed.end();
  return out;
}

const Rule::Effect* effect_on(const Rule& rule, int cause) {
  const auto on = std::find_if(rule.effects.begin(), rule.effects.end(),
                               [&](const Rule::Effect& effect) { return effect.cause == cause; });
  return on == rule.effects.end() ? nullptr : &*on;
}

std::vector<SpokenRule> rules_on(const RuleBase& base, int cause) {
  std::vector<SpokenRule> out;
  for (std::size_t r = 0; r < base.rules.size(); ++r)
    for (const Rule::Effect& effect : base.rules[r].effects)
      if (effect.cause == cause) out.push_back({static_cast<int>(r), effect});
  std::sort(out.begin(), out.end(), [](const SpokenRule& a, const SpokenRule& b) {
    const double x = std::abs(a.effect.log_ratio), y = std::abs(b.effect.log_ratio);
    if (x != y) return x > y;
    if (a.effect.log_ratio != b.effect.log_ratio) return a.effect.log_ratio > b.effect.log_ratio;
    return a.rule < b.rule;
  });
  return out;
}

std::vector<int> checks_confirming(const RuleBase& base, int cause) {
  return where(base.checks, [&](const Check& check) {
    return std::any_of(check.confirms.begin(), check.confirms.end(),
                       [&](const auto& verdict) { return verdict.first == cause; });
  });
}

std::vector<RuleBeside> rules_beside(const RuleBase& base, int rule) {
  std::map<int, std::vector<int>> found;
  const std::vector<std::vector<FactGroup>> groups = all_groups(base);
  for (const Rule::Effect& effect : base.rules[static_cast<std::size_t>(rule)].effects)
    for (const FactGroup& group : groups[static_cast<std::size_t>(effect.cause)]) {
      const bool here = std::any_of(group.rules.begin(), group.rules.end(),
                                    [&](const GroupRule& r) { return r.rule == rule; });
      if (!here) continue;
      for (const GroupRule& other : group.rules)
        if (other.rule != rule) found[other.rule].push_back(effect.cause);
    }
  std::vector<RuleBeside> out;
  for (auto& item : found) out.push_back({item.first, std::move(item.second)});
  return out;
}

std::string cause_name(const RuleBase& base, int cause) {
  return cause == base.nothing_left() ? "Nothing is wrong any more, after a repair"
                                      : base.causes[static_cast<std::size_t>(cause)].name;
}

std::string cause_id(const RuleBase& base, int cause) {
  return cause == base.nothing_left() ? "nothing_left"
                                      : base.causes[static_cast<std::size_t>(cause)].id;
}

double decibans_of(double log_ratio) { return 10.0 / std::log(10.0) * log_ratio; }

}  // namespace perrev
