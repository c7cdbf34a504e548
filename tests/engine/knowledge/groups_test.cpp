// Which facts belong together for a cause.
#include "engine/knowledge/groups.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <vector>

#include "tests/engine/knowledge/small_base.h"

using perrev::AnswerSet;
using perrev::Condition;
using perrev::FactGroup;
using perrev::RuleBase;
using perrev::small::Lcg;
using perrev::small::SmallBase;

namespace {

// "hums, shaft_play (4): play_in_the_shaft; driven_axle (2): needs"
std::string shown(const RuleBase& base, const std::vector<FactGroup>& groups) {
  std::string out;
  for (const FactGroup& group : groups) {
    std::string facts, rules;
    for (const int v : group.variables)
      facts += (facts.empty() ? "" : ", ") + base.variable_name(v);
    for (const perrev::GroupRule& rule : group.rules)
      rules += " " + base.rules[static_cast<std::size_t>(rule.rule)].id;
    for (std::size_t i = 0; i < group.needs.size(); ++i) rules += " needs";
    out += (out.empty() ? "" : "; ") + facts + " (" + std::to_string(group.sheets) + "):" + rules;
  }
  return out;
}

std::string of(const RuleBase& base, const std::string& cause) {
  const int index = cause == "nothing_left" ? base.nothing_left() : base.cause_index(cause);
  return shown(base, groups_of(base, index));
}

// A base of yes/no facts q0, q1, ... asked in the bay, next to the small one.
SmallBase with_questions(int count, const std::string& rules) {
  SmallBase base;
  for (int i = 0; i < count; ++i)
    base.append("facts.yaml", "q" + std::to_string(i) +
                                  ": {ask: Is it so, kind: yesno, base: 0.5, asked_at: bay}\n");
  return base.set("evidence/history.yaml", rules);
}

std::string rule(const std::string& id, const std::string& when, const std::string& speaks) {
  return "- {rule: " + id + ", when: " + when + ", " + speaks +
         ", because: So it is., origin: from memory}\n";
}

std::string all_of_questions(int from, int to) {
  std::string when;
  for (int i = from; i < to; ++i) when += (i > from ? ", q" : "q") + std::to_string(i) + ": yes";
  return "{" + when + "}";
}

}  // namespace

TEST_CASE(
    "facts that share a rule about a cause, in its condition or by another rule, are one group") {
  const RuleBase base = SmallBase().loaded();
  CHECK(of(base, "wheel_imbalance") ==
        "began_after (3): after_new_tires; felt_at: steering_wheel (2): felt_in_the_wheel; "
        "hums, worst_speed (6): worst_at_speed");
  CHECK(of(base, "bent_rim") ==
        "felt_at: steering_wheel (2): felt_in_the_wheel; rim_runout (2): rim_out_of_true");
  CHECK(of(base, "worn_joint") ==
        "began_after (3): after_new_tires; hums, shaft_play (4): play_in_the_shaft; "
        "driven_axle (2): needs");
  CHECK(of(base, "nothing_left") == "hums, shaft_play (4): play_in_the_shaft");
}

TEST_CASE("groups grow together over shared facts, for each cause by itself") {
  const std::string rules =
      rule("a", "{q0: yes, q1: yes}", "for: {wheel_imbalance: some, bent_rim: some}") +
      rule("b", "{q2: yes, q3: yes}", "for: {wheel_imbalance: some, bent_rim: some}") +
      rule("c", "{any: [{q1: yes}, {not: {q2: yes}}]}", "against: {wheel_imbalance: hint}") +
      rule("d", "{q4: yes}", "for: {worn_joint: some}") +
      rule("e", "{q4: yes, driven_axle: rear}", "for: {worn_joint: some}");
  SmallBase made = with_questions(5, rules);
  const RuleBase base = made.set("evidence/readings.yaml", "[]\n").loaded();
  CHECK(of(base, "wheel_imbalance") == "q0, q1, q2, q3 (16): a b c");
  CHECK(of(base, "bent_rim") == "q0, q1 (4): a; q2, q3 (4): b");
  CHECK(of(base, "worn_joint") == "driven_axle, q4 (4): d e needs");
  CHECK(of(base, "nothing_left") == "");
  const std::vector<FactGroup> group = groups_of(base, base.cause_index("wheel_imbalance"));
  CHECK(group[0].rules[2].log_ratio == doctest::Approx(-std::log(1.5)));
}

TEST_CASE("4096 answer sheets are one group, 8192 are an error that names the facts") {
  const auto tied = [](int count) {
    return with_questions(13, rule("many", all_of_questions(0, count), "for: {worn_joint: some}"));
  };
  const RuleBase base = tied(12).loaded();
  const std::vector<FactGroup> groups = groups_of(base, base.cause_index("worn_joint"));
  CHECK(std::any_of(groups.begin(), groups.end(),
                    [](const FactGroup& group) { return group.sheets == perrev::kLargestGroup; }));
  CHECK(perrev::small::listed(tied(13).complaints()) ==
        "rules/evidence/history.yaml:1:3: error: the rules about 'worn_joint' tie too many facts "
        "together: q0, q1, q2, q3, q4, q5, q6, q7, q8, q9, q10, q11, q12; at most 4096 answer "
        "sheets; simpler conditions\n");
  // Two rules of harmless size that share one fact: 2^13. The same without sharing: 2^6 and 2^7.
  const std::string first = rule("one", all_of_questions(0, 7), "for: {wheel_imbalance: some}");
  SmallBase chained =
      with_questions(13, first + rule("two", all_of_questions(6, 13), "for: {wheels: hint}"));
  CHECK(chained.complaints().size() == 1);
  SmallBase apart =
      with_questions(13, first + rule("two", all_of_questions(7, 13), "for: {wheels: hint}"));
  CHECK(apart.complaints().empty());
  // As many as there are: the product is never computed beyond what an integer holds.
  SmallBase huge =
      with_questions(200, rule("many", all_of_questions(0, 200), "for: {worn_joint: some}"));
  const std::vector<std::string> told = huge.complaints();
  REQUIRE(told.size() == 1);
  CHECK(told[0].find("q14, q15, ...; at most 4096") != std::string::npos);
}

TEST_CASE("random rules: groups are the connected parts of a slow twin") {
  for (unsigned long long seed = 0; seed < 400; ++seed) {
    Lcg lcg(seed);
    RuleBase base;
    const int variables = 1 + lcg.below(12), causes = 1 + lcg.below(3);
    for (int v = 0; v < variables; ++v) {
      perrev::Variable made;
      made.base.assign(static_cast<std::size_t>(2 + lcg.below(5)), 0.5);
      base.variables.push_back(made);
    }
    base.causes.resize(static_cast<std::size_t>(causes));
    for (int r = 0, n = lcg.below(9); r < n; ++r) {
      perrev::Rule made;
      std::vector<Condition> parts;
      for (int i = 0, k = 1 + lcg.below(3); i < k; ++i)
        parts.push_back(Condition::test(lcg.below(variables), AnswerSet{1}));
      made.when = Condition::of(Condition::Kind::any, parts);
      for (int c = 0; c <= causes; ++c)
        if (lcg.below(2) == 0) made.effects.push_back({c, 0.5, "some"});
      base.rules.push_back(made);
    }
    for (perrev::Cause& cause : base.causes)
      if (lcg.below(2) == 0) cause.needs.emplace_back(lcg.below(variables), AnswerSet{1});

    for (int c = 0; c <= causes; ++c) {
      // Sets that touch are joined until none do.
      std::vector<std::set<int>> sets;
      for (const perrev::Rule& rule_made : base.rules)
        for (const perrev::Rule::Effect& effect : rule_made.effects) {
          const std::vector<int> tested = rule_made.when.variables();
          if (effect.cause == c) sets.emplace_back(tested.begin(), tested.end());
        }
      if (c < causes)
        for (const auto& need : base.causes[static_cast<std::size_t>(c)].needs)
          sets.push_back({need.first});
      for (bool joined = true; joined;) {
        joined = false;
        for (std::size_t i = 0; i < sets.size() && !joined; ++i)
          for (std::size_t j = i + 1; j < sets.size() && !joined; ++j)
            if (std::any_of(sets[i].begin(), sets[i].end(),
                            [&](int v) { return sets[j].count(v) > 0; })) {
              sets[i].insert(sets[j].begin(), sets[j].end());
              sets.erase(sets.begin() + static_cast<std::ptrdiff_t>(j));
              joined = true;
            }
      }
      std::sort(sets.begin(), sets.end());
      const std::vector<FactGroup> groups = groups_of(base, c);
      REQUIRE(groups.size() == sets.size());
      std::size_t rules_seen = 0;
      for (std::size_t g = 0; g < groups.size(); ++g) {
        CHECK(groups[g].variables == std::vector<int>(sets[g].begin(), sets[g].end()));
        double sheets = 1.0;
        for (const int v : groups[g].variables)
          sheets *= static_cast<double>(base.variables[static_cast<std::size_t>(v)].base.size());
        CHECK(groups[g].sheets == static_cast<int>(std::min(sheets, 4097.0)));
        rules_seen += groups[g].rules.size();
      }
      std::size_t rules_due = 0;
      for (const perrev::Rule& rule_made : base.rules)
        for (const perrev::Rule::Effect& effect : rule_made.effects) rules_due += effect.cause == c;
      CHECK(rules_seen == rules_due);
    }
  }
}
