// What is written down and never used, and facts that are used and never learned.
#include <set>
#include <string_view>

#include "engine/bench/findings_passes.h"
#include "engine/casefile/vehicle_of.h"
#include "engine/knowledge/computed.h"
#include "engine/providers/orders.h"

namespace perrev {

namespace {

// How the rule base and the program use each fact.
class Uses {
 public:
  explicit Uses(const RuleBase& base) : base_(base) {
    for (const Rule& rule : base.rules) add(rule.when, asked_of_);
    for (const Cause& cause : base.causes)
      for (const auto& need : cause.needs) needed_.insert(base.variables[at(need.first)].fact);
    for (const Fact& fact : base.facts) {
      add(fact.asked_if, steers_);
      if (!fact.stop) continue;
      steers_.insert(base.fact_index(fact.id));
      steers_.insert(fact.stop->cleared_by);
    }
    for (const Check& check : base.checks) {
      add(check.asked_if, steers_);
      for (const auto& verdict : check.confirms) add(verdict.second, steers_);
      learned_.insert(check.learns.begin(), check.learns.end());
    }
    for (const PathEdge& edge : base.edges) add(edge.when, steers_);
    for (const ChartStep& step : base.flow_chart) add(step.when, steers_);
    for (const Gate& gate : base.gates) steers_.insert(gate.asks.begin(), gate.asks.end());
    for (const Limit& limit : base.limits) steers_.insert(limit.class_by);
    for (const int fact : OrdersProvider().facts(base)) steers_.insert(fact);
    for (int fact = 0; fact < static_cast<int>(base.facts.size()); ++fact)
      if (!computed_for(base, fact).empty()) steers_.insert(fact);
    if (!base.physics.empty()) steers_.insert(base.fact_index("vehicle_kind"));  // picks the body
    for (const std::string_view id : vehicle_facts()) steers_.insert(base.fact_index(id));
    for (const Phrase& phrase : base.phrases.phrases)
      for (const auto* meanings : {&phrase.means, &phrase.negated})
        for (const Meaning& meaning : *meanings) proposed_.insert(meaning.fact);
  }

  bool is_learned(int fact) const { return learned_.count(fact) > 0; }
  bool is_proposed(int fact) const { return proposed_.count(fact) > 0; }
  bool is_asked_of(int fact) const { return asked_of_.count(fact) > 0; }
  // Something hangs on what is answered.
  bool has_effect(int fact) const {
    return is_asked_of(fact) || needed_.count(fact) > 0 || steers_.count(fact) > 0;
  }

 private:
  void add(const Condition& condition, std::set<int>& to) {
    for (const int fact : facts_in(base_, condition)) to.insert(fact);
  }

  const RuleBase& base_;
  std::set<int> asked_of_, needed_, steers_, learned_, proposed_;
};

void find_facts(const RuleBase& base, Findings& out) {
  const Uses uses(base);
  for (std::size_t f = 0; f < base.facts.size(); ++f) {
    const Fact& fact = base.facts[f];
    const int index = static_cast<int>(f);
    const std::string name = "fact '" + fact.id + "'";
    const bool met = uses.is_learned(index) || uses.is_proposed(index);
    if (!met && !uses.has_effect(index))
      out.push_back(finding("unused-fact", fact.place, name + " is used nowhere",
                            "a rule that asks for it and a check that learns it, or leave it out"));
    else if (uses.is_learned(index) && !uses.has_effect(index) && fact.kind != FactKind::text)
      out.push_back(finding("fact-without-effect", fact.place,
                            name + " is learned, but nothing hangs on it",
                            "a rule that asks for it, or leave it out of 'learns'"));
    else if (uses.is_asked_of(index) && !uses.is_learned(index))
      out.push_back(finding("fact-without-check", fact.place,
                            name + " is asked for by rules, but no check learns it",
                            "a check that learns it"));
  }
}

template <class Used>
void find_entries(const Written& written, std::string_view id, std::string_view file,
                  std::string_view key, const std::vector<std::string>& names,
                  const std::string& kind, const Used& is_used, const std::string& right,
                  Findings& out) {
  for (std::size_t i = 0; i < names.size(); ++i)
    if (!is_used(static_cast<int>(i)))
      out.push_back(finding(id, written.entry(file, key, names[i]),
                            kind + " '" + names[i] + "' is used nowhere", right));
}

template <class Things>
std::vector<std::string> ids_of(const Things& things) {
  std::vector<std::string> out;
  for (const auto& thing : things) out.push_back(thing.id);
  return out;
}

}  // namespace

void find_unused(const Written& written, Findings& out) {
  const RuleBase& base = written.base();
  find_facts(base, out);
  std::set<int> families, setups, equipment;
  for (const Cause& cause : base.causes) families.insert(cause.family);
  for (const Setup& setup : base.setups) setups.insert(setup.after);
  for (const Check& check : base.checks) {
    setups.insert(check.setup);
    equipment.insert(check.equipment.begin(), check.equipment.end());
  }
  find_entries(
      written, "unused-family", "families.yaml", "", ids_of(base.families), "family",
      [&](int i) { return families.count(i) > 0; }, "a cause of it, or leave it out", out);
  find_entries(
      written, "unused-setup", "shop.yaml", "setups", ids_of(base.setups), "set-up",
      [&](int i) { return setups.count(i) > 0; }, "a check that asks for it, or leave it out", out);
  find_entries(
      written, "unused-equipment", "shop.yaml", "equipment", ids_of(base.equipment), "equipment",
      [&](int i) { return equipment.count(i) > 0; }, "a check that asks for it, or leave it out",
      out);
}

}  // namespace perrev
