// Reasons: weights of evidence against not_listed, that add up to the odds of the ranking.
#include "engine/reasoning/reasons.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

const double kDecibans = 10.0 / std::log(10.0);

double sum_of(const Reasons& reasons) {
  double sum = reasons.prior_decibans;
  for (const Reason& reason : reasons.evidence) sum += reason.weight_decibans;
  return sum;
}

// x is a yes in one of five other complaints; strong = 8.
RuleBase xy_base() {
  BaseText text;
  text.facts = R"(
x: {ask: X, kind: yesno, base: 0.2, asked_at: [write_up]}
y:
  {ask: Y, kind: one, answers: {p: P, q: Q, r: R}, base: {p: 0.5, q: 0.3, r: 0.2},
   asked_at: [write_up], lasts: vehicle}
z: {ask: Z, kind: several, answers: {s: S, t: T}, base: {s: 0.3, t: 0.6}, asked_at: [road]}
w:
  {ask: W, kind: one, answers: {p: P, q: Q, r: R}, base: {p: 0.5, q: 0.3, r: 0.2},
   asked_at: [write_up]}
runout:
  {ask: Runout, kind: number, unit: length, range: 0..10 mm, base: 0.1, asked_at: [bay], per: wheel}
)";
  text.causes = cause_text("a", 30, "needs: {y: [p, q]}") + cause_text("b", 10);
  text.rules = R"(
- {rule: r, when: {x: yes}, for: {a: strong}, because: X was seen., origin: invented}
- {rule: s, when: {z: s}, against: {a: fair}, because: S was ticked., origin: invented}
- {rule: t, when: {runout: bad}, for: {b: strong}, because: A wheel runs out., origin: invented}
- {rule: wp, when: {w: p}, for: {a: fair}, because: P was seen., origin: invented}
- {rule: wq, when: {w: q}, against: {a: strong}, because: Q was seen., origin: invented}
)";
  text.limits = R"(
runout: {better: lower, classes: {all: {good: 0.5 mm, bad: 1 mm, origin: invented}}}
)";
  text.checks = R"(
ask_x:
  {what: Ask, by: write_up, learns: [x], minutes: 1, moves: no, confirms: {b: {x: no}}}
measure:
  {what: Measure, by: bay, learns: [runout], minutes: 10, moves: no, confirms: {a: {runout: bad}}}
)";
  text.path = R"(
gates: {safe: {guards: [moves], asks: [loose], what: Safe}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask_x, measure, safe]}
  - {from: [ask_x, measure, safe], to: verdict}
)";
  return small_base(text);
}

}  // namespace

TEST_CASE("the prior and the weights add up to the odds") {
  int later = 0, impossible = 0, lines = 0;
  for (std::uint64_t seed = 0; seed < 500; ++seed) {
    World world(seed + 110000);
    const CaseFile file = random_case(world.base, world.random, {14, 0.1, 0.08, 0.12});
    const CaseFacts facts = world.facts(file);
    const Ranking ranking = rank(world.reasoner, facts);
    const Belief belief = world.brute.belief(known_of(world.base, file));
    for (std::size_t c = 0; c < world.base.causes.size(); ++c) {
      CAPTURE(seed);
      CAPTURE(c);
      const Reasons reasons = reasons_for(world.reasoner, facts, static_cast<int>(c));
      const double sum = sum_of(reasons);
      REQUIRE(!std::isnan(sum));
      if (std::isinf(belief.log_odds[c])) {
        REQUIRE(std::isinf(sum));
        REQUIRE(ranking.log_odds[c] == belief.log_odds[c]);
        REQUIRE(ranking.of(static_cast<int>(c)).impossible);
        ++impossible;
        continue;
      }
      REQUIRE(std::abs(sum - ranking.log_odds[c] * kDecibans) <= 1e-9);
      REQUIRE(std::abs(sum - belief.log_odds[c] * kDecibans) <= 1e-9);
      later += facts.rounds.size() > 1;
      lines += static_cast<int>(reasons.evidence.size());
    }
  }
  CHECK(later > 300);
  CHECK(impossible > 100);
  CHECK(lines > 1000);
}

TEST_CASE(
    "each line of evidence says something, in the order of rounds, about facts that are known") {
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    World world(seed + 120000);
    const CaseFacts facts =
        world.facts(random_case(world.base, world.random, {14, 0.2, 0.08, 0.1}));
    const std::vector<Reasons> all = all_reasons(world.reasoner, facts);
    REQUIRE(all.size() == world.base.causes.size());
    for (std::size_t c = 0; c < all.size(); ++c) {
      CAPTURE(seed);
      CAPTURE(c);
      std::size_t round = 0;
      const Reasons one = reasons_for(world.reasoner, facts, static_cast<int>(c));
      REQUIRE(one.cause == static_cast<int>(c));
      REQUIRE(one.prior_decibans == all[c].prior_decibans);
      REQUIRE(one.evidence.size() == all[c].evidence.size());
      for (std::size_t i = 0; i < one.evidence.size(); ++i) {
        const Reason& reason = one.evidence[i];
        REQUIRE(reason.weight_decibans == all[c].evidence[i].weight_decibans);
        REQUIRE(reason.round >= round);
        round = reason.round;
        REQUIRE(round < facts.rounds.size());
        REQUIRE(reason.weight_decibans != 0.0);
        const ReasonWords words = words_of(world.reasoner, facts, one, reason);
        REQUIRE(!words.because.empty());
        REQUIRE(!words.facts.empty());
        REQUIRE(words.facts.size() == words.values.size());
        bool of_round = false;
        for (const std::string& id : words.facts) {
          const int fact = world.base.fact_index(id);
          const auto& readings = facts.rounds[round].readings;
          REQUIRE(std::any_of(readings.begin(), readings.end(),
                              [&](const Reading& r) { return r.fact == fact && !r.unsure; }));
          of_round =
              of_round || !world.base.facts[static_cast<std::size_t>(fact)].lasts_with_vehicle;
        }
        if (round > 0) REQUIRE(of_round);  // what is known of the vehicle has been counted before
      }
    }
  }
}

TEST_CASE("weights worked by hand, and the sentence for each") {
  // P(x = yes | a) / 0.2 = 8 / 2.4; P(x = no | a) / 0.8 = 1 / 2.4.
  // P(s ticked | a) / 0.3 = 0.25 / (0.7 + 0.3 * 0.25) = 0.25 / 0.775. y = p or q: 1 / 0.8.
  const World world(xy_base());
  struct Row {
    Entry entry;
    double ratio;
    std::string rule, because, value;
  };
  Entry ticked = says("z", "s", 1, Asker::road), not_ticked = says("z", "", 1, Asker::road);
  ticked.is_list = not_ticked.is_list = true;
  not_ticked.values.clear();
  const std::vector<Row> rows = {
      {says("x", "yes", 1), 8 / 2.4, "r", "X was seen.", "yes"},
      {says("x", "no", 1), 1 / 2.4, "r", "x: yes", "no"},  // what was missed
      {ticked, 0.25 / 0.775, "s", "S was ticked.", "s"},
      {not_ticked, 1 / 0.775, "s", "z: S", "not s"},
      {says("y", "q", 1), 1 / 0.8, "", "needs", "q"},
      // Of two rules that were not true, the one that would have spoken the other way.
      {says("w", "r", 1), 1 / (0.5 * 4 + 0.3 / 8 + 0.2), "wp", "w: P", "r"},
      {says("w", "q", 1), 1 / (0.5 * 4 + 0.3 / 8 + 0.2) / 8, "wq", "Q was seen.", "q"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.because);
    const CaseFacts facts = world.facts(case_of({row.entry}));
    const Reasons reasons = reasons_for(world.reasoner, facts, 0);
    CHECK(reasons.prior_decibans == doctest::Approx(10 * std::log10(0.6375 / 0.05)).epsilon(1e-12));
    REQUIRE(reasons.evidence.size() == 1);
    CHECK(reasons.evidence[0].weight_decibans ==
          doctest::Approx(10 * std::log10(row.ratio)).epsilon(1e-12));
    CHECK(reasons.evidence[0].provider == nullptr);
    const ReasonWords words = words_of(world.reasoner, facts, reasons, reasons.evidence[0]);
    CHECK(words.because.find(row.because) != std::string::npos);
    CHECK(words.values == std::vector<std::string>{row.value});
    CHECK(words.facts == std::vector<std::string>{row.entry.fact});
    std::vector<std::string> rules;
    for (const int rule : words.rules)
      rules.push_back(world.base.rules[static_cast<std::size_t>(rule)].id);
    CHECK(rules ==
          (row.rule.empty() ? std::vector<std::string>{} : std::vector<std::string>{row.rule}));
  }
  CHECK(
      reasons_for(world.reasoner, world.facts(case_of({says_unsure("x", 1)})), 0).evidence.empty());
}

TEST_CASE("what cannot be is excluded, and stays so after a repair") {
  const World world(xy_base());
  const CaseFile file =
      case_of({says("y", "r", 1), says("x", "yes", 2), repaired("mend_b", 3), says("x", "no", 4)});
  const CaseFacts facts = world.facts(file);
  const Ranking ranking = rank(world.reasoner, facts);
  CHECK(ranking.of(0).impossible);
  CHECK(ranking.of(0).probability == 0.0);
  CHECK(state_of(world.base, facts, ranking.of(0)) == CauseState::excluded);
  const Reasons reasons = reasons_for(world.reasoner, facts, 0);
  int never = 0;
  for (const Reason& reason : reasons.evidence) {
    CHECK(!std::isnan(reason.weight_decibans));
    if (!std::isinf(reason.weight_decibans)) continue;
    ++never;
    CHECK(reason.weight_decibans < 0.0);
    const ReasonWords words = words_of(world.reasoner, facts, reasons, reason);
    CHECK(words.facts == std::vector<std::string>{"y"});
    CHECK(words.because.find("annot be on this vehicle") != std::string::npos);
  }
  CHECK(never == 1);  // said once, not in every round
}

TEST_CASE(
    "a check of the bay confirms, a repair takes the verdict back, weaker sources do not confirm") {
  const World world(xy_base());
  const auto state = [&](std::vector<Entry> entries) {
    const CaseFacts facts = world.facts(case_of(std::move(entries)));
    return state_of(world.base, facts, rank(world.reasoner, facts).of(0));
  };
  const auto runout = [](const std::string& value, int at, Asker by) {
    Entry out = says("runout", value, at, by);
    out.place = "left_rear";
    return out;
  };
  Entry ticked = says("z", "s", 1, Asker::road);
  ticked.is_list = true;
  const Entry no = says("x", "no", 1);
  CHECK(state({}) == CauseState::likely);  // three quarters from the start
  CHECK(state({no, ticked}) == CauseState::open);
  CHECK(state({no, ticked, runout("1.2 mm", 2, Asker::bay)}) == CauseState::confirmed);
  CHECK(state({no, ticked, runout("1.2 mm", 2, Asker::road)}) == CauseState::open);
  CHECK(state({no, ticked, runout("0.7 mm", 2, Asker::bay)}) == CauseState::open);
  CHECK(state({runout("1.2 mm", 2, Asker::bay), repaired("mend_b", 3)}) == CauseState::confirmed);
  CHECK(state({runout("1.2 mm", 2, Asker::bay), repaired("mend_a", 3)}) == CauseState::open);
  CHECK(name_of(CauseState::confirmed) == "confirmed");
  CHECK(name_of(CauseState::excluded) == "excluded");
}
