// Explanations of a rule base and of a case, against the engine that they explain.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "engine/bench/explain_case.h"
#include "engine/bench/explain_likeness.h"
#include "engine/bench/explain_names.h"
#include "engine/bench/explain_touches.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

// The truth of part `i` from the truths of the parts below it alone; `next` is the part after it.
Truth from_below(const std::vector<ConditionPart>& parts,
                 const std::vector<std::vector<Truth>>& truths, std::size_t i, std::size_t place,
                 std::size_t& next) {
  const Condition::Kind kind = parts[i].condition->kind;
  next = i + 1;
  if (kind == Condition::Kind::test) return truths[i][place];
  std::vector<Truth> below;
  while (next < parts.size() && parts[next].depth > parts[i].depth)
    below.push_back(from_below(parts, truths, next, place, next));
  if (kind == Condition::Kind::negation)
    return below.front() == Truth::unknown ? Truth::unknown
           : below.front() == Truth::yes   ? Truth::no
                                           : Truth::yes;
  const Truth decides = kind == Condition::Kind::all ? Truth::no : Truth::yes;
  Truth out = kind == Condition::Kind::all ? Truth::yes : Truth::no;
  for (const Truth truth : below) {
    if (truth == decides) return decides;
    if (truth == Truth::unknown) out = truth;
  }
  return out;
}

}  // namespace

TEST_CASE(
    "every part of a condition reads as its own parts say, and the whole as the engine does") {
  std::set<Truth> seen;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    CAPTURE(seed);
    World world(seed + 410000);
    const CaseFacts facts = world.facts(random_case(world.base, world.random));
    for (std::size_t r = 0; r < world.base.rules.size(); ++r) {
      const Rule& rule = world.base.rules[r];
      const RuleInCase told = rule_in_case(world.reasoner, facts, static_cast<int>(r));
      const std::vector<ConditionPart> parts = parts_of(world.base, rule.when, Units::metric);
      REQUIRE(told.rounds.size() == facts.rounds.size());
      for (std::size_t round = 0; round < told.rounds.size(); ++round) {
        const RuleInRound& of = told.rounds[round];
        REQUIRE(of.parts.size() == parts.size());
        bool yes = false, unknown = false;
        for (std::size_t place = 0; place < told.places.size(); ++place) {
          for (std::size_t i = 0, next = 0; i < parts.size(); ++i)
            REQUIRE(of.parts[i][place] == from_below(parts, of.parts, i, place, next));
          yes = yes || of.parts[0][place] == Truth::yes;
          unknown = unknown || of.parts[0][place] == Truth::unknown;
        }
        REQUIRE(of.truth == (yes ? Truth::yes : unknown ? Truth::unknown : Truth::no));
        REQUIRE(of.truth == truth_somewhere(world.base, rule.when, facts.rounds[round].answers));
        seen.insert(of.truth);
      }
    }
  }
  CHECK(seen.size() == 3);
}

TEST_CASE("what the rules of a cause came to adds up to its reasons") {
  int weighed = 0, later = 0;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    CAPTURE(seed);
    World world(seed + 420000);
    const CaseFacts facts =
        world.facts(random_case(world.base, world.random, {14, 0.1, 0.08, 0.12}));
    std::vector<RuleInCase> rules;
    for (std::size_t r = 0; r < world.base.rules.size(); ++r)
      rules.push_back(rule_in_case(world.reasoner, facts, static_cast<int>(r)));
    for (std::size_t c = 0; c < world.base.causes.size(); ++c) {
      CAPTURE(c);
      const int cause = static_cast<int>(c);
      std::map<std::pair<std::size_t, int>, double> told;  // by round and group
      for (std::size_t r = 0; r < rules.size(); ++r) {
        const Rule& rule = world.base.rules[r];
        for (std::size_t e = 0; e < rule.effects.size(); ++e) {
          if (rule.effects[e].cause != cause) continue;
          const int group = world.reasoner.answers().group_of(cause, rule.when.variables().front());
          for (std::size_t round = 0; round < facts.rounds.size(); ++round) {
            const GroupWeight& weight = rules[r].rounds[round].weights[e];
            REQUIRE(weight.cause == cause);
            const auto [found, fresh] = told.emplace(std::make_pair(round, group), weight.decibans);
            REQUIRE((fresh || found->second == weight.decibans));
            if (weight.decibans != 0.0) REQUIRE(weight.counts);
          }
        }
      }
      double sum = 0.0, expected = 0.0;
      for (const auto& item : told) sum += item.second;
      for (const Reason& reason : reasons_for(world.reasoner, facts, cause).evidence) {
        if (reason.cause != cause || reason.group < 0 ||
            world.reasoner.answers().groups(cause)[at(reason.group)].rules.empty())
          continue;
        expected += reason.weight_decibans;
        ++weighed;
        later += reason.round > 0;
      }
      if (std::isinf(expected))
        REQUIRE(sum == expected);
      else
        REQUIRE(std::abs(sum - expected) <= 1e-9);
    }
  }
  CHECK(weighed > 500);
  CHECK(later > 50);
}

TEST_CASE("an entry that is said not to count can be left out and nothing changes") {
  std::set<EntryStanding::Why> seen;
  for (std::uint64_t seed = 0; seed < 150; ++seed) {
    CAPTURE(seed);
    World world(seed + 430000);
    const CaseFile file = random_case(world.base, world.random, {30, 0.2, 0.1, 0.05});
    const CaseFacts facts = world.facts(file);
    const std::vector<Entry>& entries = file.entries();
    std::map<std::size_t, bool> counts;  // by entry in force: at some place
    for (std::size_t f = 0; f < world.base.facts.size(); ++f) {
      std::map<std::pair<int, int>, int> values;  // by round and place
      for (const EntryStanding& each : standings_of(world.base, file, facts, static_cast<int>(f))) {
        seen.insert(each.why);
        REQUIRE((each.round < 0) == (each.why == EntryStanding::Why::taken_back));
        if (each.round < 0) {
          REQUIRE(entries[each.other].retracts == entries[each.entry].id);
          continue;
        }
        const bool is_value = each.why == EntryStanding::Why::counts;
        counts[each.entry] = counts[each.entry] || is_value;
        values[{each.round, each.place}] += is_value;
        REQUIRE((each.other == each.entry) == is_value);
      }
      for (const auto& value : values) REQUIRE(value.second == 1);
    }
    for (const auto& [entry, is_value] : counts) {
      const std::string& id = entries[entry].id;
      if (is_value || std::any_of(entries.begin(), entries.end(),
                                  [&](const Entry& e) { return e.retracts == id; }))
        continue;
      CaseFile without;
      for (std::size_t i = 0; i < entries.size(); ++i)
        if (i != entry) without.add(entries[i]);
      const CaseFacts left = world.facts(without);
      for (std::size_t round = 0; round < facts.rounds.size(); ++round)
        REQUIRE(left.rounds[round].answers == facts.rounds[round].answers);
    }
  }
  CHECK(seen.size() >= 6);
}

TEST_CASE("answers given a cause are probabilities, and two causes are as alike both ways") {
  for (std::uint64_t seed = 0; seed < 100; ++seed) {
    CAPTURE(seed);
    World world(seed + 440000);
    const AnswerModel& model = world.reasoner.answers();
    std::map<std::pair<int, int>, double> mistaken;
    for (std::size_t c = 0; c < world.base.causes.size(); ++c) {
      for (const GivenAnswers& given : answers_given(model, static_cast<int>(c))) {
        double sum = 0.0;
        for (const double p : given.probability) sum += p;
        REQUIRE(std::abs(sum - 1.0) <= 1e-9);
      }
      for (const Rival& rival : rivals_of(model, static_cast<int>(c)))
        mistaken[{static_cast<int>(c), rival.cause}] = rival.mistaken;
    }
    for (const auto& [pair, value] : mistaken) {
      REQUIRE(value >= 0.0);
      REQUIRE(value <= 0.5 + 1e-12);
      REQUIRE(std::abs(value - mistaken.at({pair.second, pair.first})) <= 1e-12);
    }
  }
}

TEST_CASE("how alike two causes are, worked by hand") {
  // x and y are asked of a and b; odds of x times 8 with a, of y times 4 with b.
  BaseText text;
  text.facts = R"(
x: {ask: X, kind: yesno, base: 0.2, asked_at: [write_up]}
y: {ask: Y, kind: yesno, base: 0.5, asked_at: [write_up]}
)";
  text.causes = cause_text("a", 30) + cause_text("b", 10);
  text.rules = R"(
- {rule: r, when: {x: yes}, for: {a: strong}, because: X was seen., origin: invented}
- {rule: s, when: {y: yes}, for: {b: fair}, because: Y was seen., origin: invented}
)";
  const World world(small_base(text));
  const AnswerModel& model = world.reasoner.answers();
  const int a = world.base.cause_index("a");
  // P(x | a) = 0.2 * 8 / (0.2 * 8 + 0.8) = 2/3; P(y | b) = 4 / 5.
  const std::vector<GivenAnswers> given = answers_given(model, a);
  REQUIRE(given.size() == 1);
  CHECK(given[0].probability[1] == doctest::Approx(2.0 / 3.0));
  const double x = std::sqrt(2.0 / 3.0 * 0.2) + std::sqrt(1.0 / 3.0 * 0.8);
  const double y = std::sqrt(0.5 * 0.8) + std::sqrt(0.5 * 0.2);
  for (const Rival& rival : rivals_of(model, a))
    if (rival.cause == world.base.cause_index("b"))
      CHECK(rival.mistaken == doctest::Approx(0.5 * x * y));
}

TEST_CASE("everything is found by its id, near words are found, and ids are shared") {
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    World world(seed + 450000);
    for (const NamedThing& thing : all_things(world.base)) {
      const std::vector<NamedThing> found = things_named(world.base, id_of(world.base, thing));
      CHECK(std::any_of(found.begin(), found.end(), [&](const NamedThing& other) {
        return other.kind == thing.kind && other.index == thing.index;
      }));
    }
    CHECK(things_named(world.base, "no_such_thing_at_all").empty());
  }
}

TEST_CASE("rules weighed beside each other are so both ways") {
  int pairs = 0;
  for (std::uint64_t seed = 0; seed < 100; ++seed) {
    World world(seed + 460000);
    std::set<std::tuple<int, int, int>> beside;
    for (std::size_t r = 0; r < world.base.rules.size(); ++r)
      for (const RuleBeside& other : rules_beside(world.base, static_cast<int>(r)))
        for (const int cause : other.causes) beside.emplace(static_cast<int>(r), other.rule, cause);
    for (const auto& [one, other, cause] : beside) {
      CHECK(beside.count({other, one, cause}) == 1);
      ++pairs;
    }
  }
  CHECK(pairs > 50);
}
