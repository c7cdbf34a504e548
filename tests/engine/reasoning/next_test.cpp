// What to do next: expected drop in entropy a minute, and what each answer would do.
#include "engine/reasoning/next.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "engine/reasoning/feature.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

double entropy(const std::vector<double>& masses) {
  double total = 0.0, bits = 0.0;
  for (const double m : masses) total += m;
  for (const double m : masses)
    if (m > 0.0) bits -= m / total * std::log2(m / total);
  return bits;
}

// Single hypotheses as they stand now, by enumeration: masses of {cause}, {} (nothing left), {-1}
// (not listed).
using Masses = std::map<Present, double>;

Masses singles(const BruteForce& brute, const Known& known) {
  Masses out;
  for (std::size_t h = 0; h < brute.hypotheses().size(); ++h) {
    const Present now = brute.left(h, known, known.rounds.size() - 1);
    if (now.size() > 1) continue;
    out[brute.hypotheses()[h].empty() ? Present{-1} : now] +=
        brute.priors()[h] * brute.evidence(h, known);
  }
  return out;
}

double sum(const Masses& masses) {
  double total = 0.0;
  for (const auto& mass : masses) total += mass.second;
  return total;
}

std::vector<double> values(const Masses& masses) {
  std::vector<double> out;
  for (const auto& mass : masses) out.push_back(mass.second);
  return out;
}

Known with_answer(const RuleBase& base, const Known& known, int variable, int place, int answer) {
  const Variable& v = base.variables[at(variable)];
  const std::size_t slot = at(v.first_slot + place);
  Known out = known;
  out.rounds.back().answers[slot] = answer;
  if (!v.lasts_with_vehicle) return out;
  out.vehicle[slot] = answer;
  for (KnownRound& round : out.rounds) round.answers[slot] = answer;
  return out;
}

struct Next {
  explicit Next(const World& world, const CaseFile& file)
      : facts(world.facts(file)),
        ranking(rank(world.reasoner, facts)),
        offers(offers_of(world.base, facts)),
        steps(next_steps(world.reasoner, facts, ranking, offers)) {}
  CaseFacts facts;
  Ranking ranking;
  Offers offers;
  NextSteps steps;
};

}  // namespace

TEST_CASE("every offered check has its worth, best a minute first") {
  int told = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    World world(seed + 150000);
    const CaseFile file = random_case(world.base, world.random);
    const Next next(world, file);
    std::vector<int> checks;
    const double most = entropy(values(singles(world.brute, known_of(world.base, file))));
    for (std::size_t i = 0; i < next.steps.checks.size(); ++i) {
      const NextCheck& check = next.steps.checks[i];
      const Check& of = world.base.checks[at(check.check)];
      checks.push_back(check.check);
      REQUIRE(check.bits >= 0.0);
      REQUIRE(check.bits <= most + 1e-9);
      REQUIRE(check.minutes ==
              of.minutes + (of.setup < 0 ? 0.0 : world.base.setups[at(of.setup)].minutes));
      REQUIRE(std::find(of.learns.begin(), of.learns.end(), check.fact) != of.learns.end());
      told += check.bits > 0.0;
      if (i < 8) REQUIRE(!check.why.empty());
      if (i == 0) continue;
      const NextCheck& before = next.steps.checks[i - 1];
      const double a = std::round(1e9 * before.bits / before.minutes),
                   b = std::round(1e9 * check.bits / check.minutes);
      REQUIRE((a > b || (a == b && world.base.checks[at(before.check)].id < of.id)));
    }
    std::sort(checks.begin(), checks.end());
    REQUIRE(checks == next.offers.checks);
    for (const int f : next.steps.unanswered) {
      const Fact& fact = world.base.facts[at(f)];
      REQUIRE(fact.is_asked_at(Asker::write_up));
      REQUIRE(!next.facts.now().asked(f));
      REQUIRE(is_asked(world.base, next.facts.now(), f));
    }
  }
  CHECK(told > 150);
}

TEST_CASE("the bits of a check that learns one answer are the expected drop in entropy") {
  int compared = 0;
  for (std::uint64_t seed = 0; seed < 900; ++seed) {
    CAPTURE(seed);
    World world(seed + 160000);
    const RuleBase& base = world.base;
    const CaseFile file = random_case(base, world.random, {8, 0.1, 0.1, 0.1});
    const Known known = known_of(base, file);
    const Next next(world, file);
    const Masses now = singles(world.brute, known);
    for (const NextCheck& check : next.steps.checks) {
      const std::vector<int>& learns = base.checks[at(check.check)].learns;
      const Fact& fact = base.facts[at(learns.front())];
      if (learns.size() != 1 || fact.variable_count != 1) continue;
      if (known.rounds.size() > 1 && fact.lasts_with_vehicle)
        continue;  // told from the last round alone
      if (!is_asked(base, next.facts.now(), learns.front())) continue;
      const Variable& variable = base.variables[at(fact.first_variable)];
      std::vector<int> open;
      for (int s = 0; s < variable.slots; ++s)
        if (known.rounds.back().answers[at(variable.first_slot + s)] < 0) open.push_back(s);
      if (open.empty()) continue;
      double after = 0.0;
      std::vector<Masses> parts;
      if (open.size() > 1 && variable.size() == 2) {  // is any of them a yes?
        Known none = known;
        for (const int s : open) none = with_answer(base, none, fact.first_variable, s, 0);
        parts = {singles(world.brute, none), now};
        for (auto& [hypothesis, mass] : parts[1]) mass = std::max(0.0, mass - parts[0][hypothesis]);
      } else {
        for (int a = 0; a < variable.size(); ++a)
          parts.push_back(
              singles(world.brute, with_answer(base, known, fact.first_variable, open.front(), a)));
      }
      for (const Masses& part : parts) after += sum(part) / sum(now) * entropy(values(part));
      REQUIRE(std::abs(check.bits - std::max(0.0, entropy(values(now)) - after)) <= 1e-9);
      ++compared;
    }
  }
  MESSAGE("compared " << compared);
  CHECK(compared > 300);
}

TEST_CASE("what each answer would do is what it does") {
  int compared = 0, later_vehicle = 0, places = 0;
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    World world(seed + 170000);
    const RuleBase& base = world.base;
    const CaseFile file = random_case(base, world.random, {9, 0.1, 0.1, 0.12});
    const Known known = known_of(base, file);
    const Next next(world, file);
    std::vector<int> causes;
    for (std::size_t c = 0; c < base.causes.size(); ++c) causes.push_back(static_cast<int>(c));
    for (std::size_t f = 0; f < base.facts.size(); ++f) {
      CAPTURE(seed);
      CAPTURE(base.facts[f].id);
      const Fact& fact = base.facts[f];
      const auto found =
          outcomes(world.reasoner, next.facts, next.ranking, static_cast<int>(f), causes);
      if (fact.kind == FactKind::text) {
        REQUIRE(found.empty());
        continue;
      }
      std::size_t row = 0;
      for (int v = fact.first_variable; v < fact.first_variable + fact.variable_count; ++v) {
        const Variable& variable = base.variables[at(v)];
        int place = 0;
        while (place + 1 < variable.slots &&
               known.rounds.back().answers[at(variable.first_slot + place)] >= 0)
          ++place;
        if (known.rounds.back().answers[at(variable.first_slot + place)] >= 0)
          place = 0;  // all known: as if the first were not
        const Known open = with_answer(base, known, v, place, -1);
        const Masses before = singles(world.brute, open);
        double all = 0.0;
        std::vector<double> expected(causes.size(), 0.0);
        for (int a = fact.kind == FactKind::several ? 1 : 0; a < variable.size(); ++a, ++row) {
          REQUIRE(row < found.size());
          const Masses after = singles(world.brute, with_answer(base, open, v, place, a));
          const double p = sum(after) / sum(before);
          REQUIRE(std::abs(found[row].probability - p) <= 1e-9);
          all += found[row].probability;
          for (const int c : causes) {
            const auto mass = after.find({c});
            const double share = mass == after.end() ? 0.0 : mass->second / sum(after);
            REQUIRE(std::abs(found[row].causes_after[at(c)] - share) <= 1e-9);
            expected[at(c)] += found[row].probability * found[row].causes_after[at(c)];
          }
          ++compared;
        }
        places += place > 0;
        later_vehicle += variable.lasts_with_vehicle && known.rounds.size() > 1;
        // The expected posterior is the posterior: see laws_test.cpp for facts of the vehicle after
        // a repair.
        if (fact.kind == FactKind::several ||
            (variable.lasts_with_vehicle && known.rounds.size() > 1))
          continue;
        REQUIRE(std::abs(all - 1.0) <= 1e-9);
        for (const int c : causes) {
          const auto mass = before.find({c});
          REQUIRE(std::abs(expected[at(c)] -
                           (mass == before.end() ? 0.0 : mass->second / sum(before))) <= 1e-9);
        }
      }
      REQUIRE(row == found.size());
    }
  }
  CHECK(compared > 3000);
  CHECK(later_vehicle > 100);
  CHECK(places > 30);
}

// x is a yes in one of five complaints, and in 2/3 of a's (strong = 8): see ranking_test.cpp.
TEST_CASE(
    "what was unsure tells nothing to who asks again, and still something nearer the vehicle") {
  int again = 0, nearer = 0;
  for (std::uint64_t seed = 0; seed < 600; ++seed) {
    CAPTURE(seed);
    World world(seed + 610000);
    const CaseFacts facts = world.facts(random_case(world.base, world.random, {8, 0.4, 0.1, 0.1}));
    for (const Reading& reading : facts.now().readings) {
      const Fact& fact = world.base.facts[at(reading.fact)];
      if (fact.kind == FactKind::text || !is_asked(world.base, facts.now(), reading.fact)) continue;
      const Variable& variable = world.base.variables[at(fact.first_variable)];
      const std::size_t slot = at(variable.first_slot + std::max(0, reading.place));
      if (facts.now().answers[slot] >= 0) continue;  // unsure, or between the edges of a limit
      const auto slots_for = [&](Asker by) {
        std::vector<std::size_t> out;
        for (const Feature& feature : features_of(world.reasoner, facts, reading.fact, by))
          out.insert(out.end(), feature.slots.begin(), feature.slots.end());
        return out;
      };
      const std::vector<std::size_t> same = slots_for(reading.by);
      REQUIRE(std::count(same.begin(), same.end(), slot) == 0);
      ++again;
      if (reading.by == Asker::bay) continue;
      // Of several places with more than two answers only the first is a feature.
      if (variable.size() < 2 || (variable.size() > 2 && variable.slots > 1)) continue;
      const std::vector<std::size_t> higher = slots_for(Asker::bay);
      REQUIRE(std::count(higher.begin(), higher.end(), slot) == 1);
      ++nearer;
    }
  }
  CHECK(again > 100);
  CHECK(nearer > 50);
}

TEST_CASE("a choice worked by hand") {
  BaseText text;
  text.facts = R"(
x: {ask: X, kind: yesno, base: 0.2, asked_at: [write_up]}
w: {ask: W, kind: yesno, base: 0.2, asked_at: [write_up]}
)";
  text.causes = cause_text("a", 30) + cause_text("b", 10, "not_with: [a]");
  text.rules = "- {rule: r, when: {x: yes}, for: {a: strong}, because: B., origin: invented}\n";
  text.checks = R"(
ask_w: {what: Ask, by: write_up, learns: [w], minutes: 1, moves: no}
ask_x: {what: Ask, by: write_up, learns: [x], minutes: 1, moves: no}
slow_x: {what: Ask, by: bay, learns: [x], minutes: 1, setup: hoist, moves: no}
)";
  text.path = R"(
gates: {safe: {guards: [moves], asks: [loose], what: Safe}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask_w, ask_x, slow_x, safe]}
  - {from: [ask_w, ask_x, slow_x, safe], to: verdict}
)";
  const World world(small_base(text));
  const Next next(world, case_of({}));
  REQUIRE(next.steps.checks.size() == 3);
  // 0.7125 a, 0.2375 b, 0.05 not listed; P(yes) = 0.7125 * 2/3 + 0.2875 * 0.2 = 0.5325.
  const double yes = 0.5325, a_yes = 0.7125 * 2 / 3, b_yes = 0.2375 * 0.2, n_yes = 0.05 * 0.2;
  const double drop = entropy({0.7125, 0.2375, 0.05}) - yes * entropy({a_yes, b_yes, n_yes}) -
                      (1 - yes) * entropy({0.7125 - a_yes, 0.2375 - b_yes, 0.05 - n_yes});
  CHECK(world.base.checks[at(next.steps.checks[0].check)].id == "ask_x");
  CHECK(next.steps.checks[0].bits == doctest::Approx(drop).epsilon(1e-9));
  CHECK(next.steps.checks[0].why.find("tells \"Cause a\" from \"Cause b\"") == 0);
  CHECK(world.base.checks[at(next.steps.checks[1].check)].id == "slow_x");
  CHECK(next.steps.checks[1].minutes == 5.0);
  CHECK(next.steps.checks[2].bits == doctest::Approx(0.0));  // no rule speaks of w
  CHECK(next.steps.unanswered == std::vector<int>{world.base.fact_index("x")});

  const auto found =
      outcomes(world.reasoner, next.facts, next.ranking, world.base.fact_index("x"), {0, 1});
  REQUIRE(found.size() == 2);
  CHECK(found[0].answer == "no");
  CHECK(found[1].answer == "yes");
  CHECK(found[1].probability == doctest::Approx(yes).epsilon(1e-12));
  CHECK(found[1].causes_after[0] == doctest::Approx(a_yes / yes).epsilon(1e-12));
  CHECK(found[0].causes_after[1] == doctest::Approx((0.2375 - b_yes) / (1 - yes)).epsilon(1e-12));
}

// Twelve facts that each tell a from the rest cannot tell more than there is to know.
TEST_CASE("the worth of a check is capped by the entropy there is") {
  BaseText text;
  std::vector<std::string> facts;
  for (int i = 0; i < 12; ++i) {
    const std::string id = "x" + std::to_string(i);
    facts.push_back(id);
    text.facts += id + ": {ask: X, kind: yesno, base: 0.3, asked_at: [write_up]}\n";
    text.rules += "- {rule: r" + id + ", when: {" + id +
                  ": yes}, for: {a: strong}, because: B., origin: invented}\n";
  }
  text.causes = cause_text("a", 10) + cause_text("b", 10, "not_with: [a]");
  text.checks =
      "ask: {what: Ask, by: write_up, learns: [" + joined(facts) + "], minutes: 2, moves: no}\n";
  text.path = R"(
gates: {safe: {guards: [moves], asks: [loose], what: Safe}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask, safe]}
  - {from: [ask, safe], to: verdict}
)";
  const World world(small_base(text));
  const Next next(world, case_of({}));
  REQUIRE(next.steps.checks.size() == 1);
  CHECK(next.steps.checks[0].bits == doctest::Approx(entropy({0.475, 0.475, 0.05})).epsilon(1e-12));
}

namespace {

class FrequencyProvider : public Provider {
 public:
  std::string name() const override { return "fixed"; }
  std::vector<int> facts(const RuleBase& base) const override { return {base.fact_index("x")}; }
  ProviderWeights weigh(const RuleBase&, const CaseFacts&, std::size_t) const override {
    return {};
  }
  std::string because(const RuleBase&, const CaseFacts&, std::size_t, int) const override {
    return {};
  }
  ProviderTable expect(const RuleBase&, const CaseFacts&, int) const override {
    return {{}, {0.8, 0.2}, {{0.9, 0.1}, {}}, {}};
  }
};

}  // namespace

TEST_CASE("a provider says what its fact could show, until it is known") {
  const FrequencyProvider provider;
  BaseText text;
  text.facts = R"(
x: {ask: X, kind: yesno, base: 0.2, asked_at: [write_up]}
w: {ask: W, kind: yesno, base: 0.2, asked_at: [write_up]}
)";
  text.causes = cause_text("a", 30) + cause_text("b", 10, "not_with: [a]");
  text.rules = "- {rule: r, when: {w: yes}, for: {a: strong}, because: B., origin: invented}\n";
  text.checks = "ask_both: {what: Ask, by: write_up, learns: [x, w], minutes: 1, moves: no}\n";
  text.path = R"(
gates: {safe: {guards: [moves], asks: [loose], what: Safe}}
ends: {verdict: {what: Found}}
edges:
  - {from: start, to: [ask_both, safe]}
  - {from: [ask_both, safe], to: verdict}
)";
  const RuleBase base = small_base(text);
  const Reasoner with(base, {&provider}), without(base);
  const auto bits = [&](const Reasoner& reasoner, const CaseFile& file) {
    const CaseFacts facts = *facts_of(file, base);
    return next_steps(reasoner, facts, rank(reasoner, facts), offers_of(base, facts))
        .checks.at(0)
        .bits;
  };
  // a against all else: x splits 0.9 : 0.1 against the base rate 0.8 : 0.2.
  const double no = 0.7125 * 0.9 + 0.2875 * 0.8;
  const double drop = entropy({0.7125, 0.2375, 0.05}) -
                      no * entropy({0.7125 * 0.9, 0.2375 * 0.8, 0.05 * 0.8}) -
                      (1 - no) * entropy({0.7125 * 0.1, 0.2375 * 0.2, 0.05 * 0.2});
  CHECK(bits(with, case_of({})) - bits(without, case_of({})) ==
        doctest::Approx(drop).epsilon(1e-9));
  const CaseFile known = case_of({says("x", "yes", 1, Asker::write_up)});
  CHECK(bits(with, known) == doctest::Approx(bits(without, known)).epsilon(1e-12));
}
