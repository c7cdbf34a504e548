// What an answer not known yet will be: against the enumeration of random rule bases, and on the
// shipped rules by the law that learning is expected to change nothing.
#include "engine/reasoning/prospect.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "tests/engine/planning/cut_models.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

double sum_of(const std::vector<double>& items) {
  double out = 0.0;
  for (const double x : items) out += x;
  return out;
}

// As Present says it: causes, empty for not_listed.
Hypothesis hypothesis_of(const Present& present) {
  if (present.empty()) return {};
  return {present[0], present.size() > 1 ? present[1] : -1};
}

// P(hypothesis | answers of the first round), from the weights themselves.
struct Posterior {
  std::vector<Hypothesis> hypotheses;
  std::vector<double> mass;
};
Posterior posterior_of(const Reasoner& reasoner, const Answers& answers) {
  const std::vector<double> single = reasoner.answers().log_weights(answers);
  const PairFactors pair = reasoner.pairs().factors(answers, single);
  Posterior out{{Hypothesis{}}, {reasoner.log_prior_not_listed()}};
  for (int c = 0; c < reasoner.base().nothing_left(); ++c) {
    out.hypotheses.push_back({c, -1});
    out.mass.push_back(reasoner.log_prior(c) + single[at(c)]);
  }
  for (const Pair& both : reasoner.pairs().pairs()) {
    out.hypotheses.push_back({both.first, both.second});
    out.mass.push_back(std::log(reasoner.prior(both)) + pair.log_of(both));
  }
  const double top = *std::max_element(out.mass.begin(), out.mass.end());
  double total = 0.0;
  for (double& x : out.mass) total += x = std::exp(x - top);
  for (double& x : out.mass) x /= total;
  return out;
}

// A case of one round on the shipped rules: some variables of a vehicle with one drawn fault.
CaseFacts partly_answered(const Reasoner& reasoner, Lcg& random) {
  const RuleBase& base = reasoner.base();
  CaseFacts out;
  out.rounds.emplace_back();
  out.rounds[0].answers.assign(at(base.slot_count), -1);
  std::vector<double> prior;
  for (int c = 0; c < base.nothing_left(); ++c) prior.push_back(std::exp(reasoner.log_prior(c)));
  const Hypothesis hidden{static_cast<int>(random.pick_weighted(prior)), -1};
  const int count = random.between(0, 30);
  for (int i = 0; i < count; ++i) {
    const int v = random.below(static_cast<int>(base.variables.size()));
    const Variable& variable = base.variables[at(v)];
    const std::size_t slot = at(variable.first_slot + random.below(variable.slots));
    Answers& answers = out.rounds[0].answers;
    if (answers[slot] >= 0 || !is_asked(base, out.now(), variable.fact)) continue;
    answers[slot] =
        static_cast<int>(random.pick_weighted(prospect(reasoner, hidden, v, slot, answers)));
  }
  out.vehicle = out.rounds[0].answers;
  return out;
}

void learn(const Variable& variable, std::size_t slot, int answer, CaseFacts& facts) {
  facts.rounds[0].answers[slot] = answer;
  if (variable.lasts_with_vehicle) facts.vehicle[slot] = answer;
}

}  // namespace

TEST_CASE("prospects sum to one and are what the enumeration says, for every hypothesis") {
  int singles = 0, pairs = 0, tied = 0, placed = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    World world(seed + 110000);
    const RuleBase& base = world.base;
    const CaseFacts facts = world.facts(random_case(base, world.random, {8, 0.1, 0.1, 0.0}));
    const Answers& answers = facts.now().answers;
    std::vector<Hypothesis> hypotheses = {{base.nothing_left(), -1}};
    for (const Present& present : world.brute.hypotheses())
      hypotheses.push_back(hypothesis_of(present));
    for (const Hypothesis& h : hypotheses) {
      CAPTURE(h.first);
      CAPTURE(h.second);
      const auto probability = [&](const Sheet& sheet) {
        if (h.first < 0) return world.brute.with_base(sheet);
        Present present;
        if (h.first != base.nothing_left()) present.push_back(h.first);
        if (h.second >= 0) present.push_back(h.second);
        return world.brute.with_causes(present, sheet);
      };
      const double before = probability(answers);
      for (std::size_t v = 0; v < base.variables.size(); ++v) {
        const Variable& variable = base.variables[v];
        for (int place = 0; place < variable.slots; ++place) {
          const std::size_t slot = at(variable.first_slot + place);
          if (answers[slot] >= 0) continue;
          CAPTURE(slot);
          const std::vector<double> said =
              prospect(world.reasoner, h, static_cast<int>(v), slot, answers);
          REQUIRE(said.size() == variable.base.size());
          // What is impossible has no prospect; the numbers are then of no meaning, yet finite.
          REQUIRE(sum_of(said) == doctest::Approx(1.0).epsilon(1e-12));
          if (before <= 0.0) continue;
          Sheet then = answers;
          for (int a = 0; a < variable.size(); ++a) {
            then[slot] = a;
            REQUIRE(std::abs(said[at(a)] - probability(then) / before) <= 1e-12);
          }
          singles += h.first >= 0 && h.second < 0;
          pairs += h.second >= 0;
          placed += variable.slots > 1;
          tied += h.first >= 0 && said != variable.base;
        }
      }
    }
  }
  MESSAGE("singles " << singles << ", pairs " << pairs << ", per place " << placed
                     << ", other than the base rates " << tied);
  CHECK(singles > 5000);
  CHECK(pairs > 5000);
  CHECK(placed > 2000);
  CHECK(tied > 5000);
}

TEST_CASE("the room that prospect works in is left as it was") {
  for (std::uint64_t seed = 0; seed < 100; ++seed) {
    CAPTURE(seed);
    World world(seed + 120000);
    const CaseFacts facts = world.facts(random_case(world.base, world.random, {8, 0.1, 0.1, 0.0}));
    Answers room = facts.now().answers;
    for (const Present& present : world.brute.hypotheses())
      for (std::size_t v = 0; v < world.base.variables.size(); ++v) {
        const Variable& variable = world.base.variables[v];
        const std::size_t slot = at(variable.first_slot);
        if (room[slot] >= 0) continue;
        const Hypothesis h = hypothesis_of(present);
        std::vector<double> out(variable.base.size());
        prospect(world.reasoner, h, static_cast<int>(v), slot, room, out.data());
        REQUIRE(room == facts.now().answers);
        REQUIRE(out == prospect(world.reasoner, h, static_cast<int>(v), slot, room));
      }
  }
}

// Every case learns a quarter of the variables, so that each is learned in three cases.
TEST_CASE("the shipped rules: the expected posterior of every cause equals its posterior") {
  constexpr std::size_t kCases = 12, kParts = 4;
  const Reasoner& reasoner = shipped_planner().reasoner();
  const RuleBase& base = reasoner.base();
  std::vector<int> owned;
  for (const Provider* provider : reasoner.providers())
    for (const int fact : provider->facts(base)) owned.push_back(fact);
  int combinations = 0;
  double most = 0.0;
  for (std::size_t seed = 0; seed < kCases; ++seed) {
    CAPTURE(seed);
    Lcg random(seed + 130000);
    CaseFacts facts = partly_answered(reasoner, random);
    const Ranking now = rank(reasoner, facts);
    const Posterior posterior = posterior_of(reasoner, facts.now().answers);
    for (std::size_t v = seed % kParts; v < base.variables.size(); v += kParts) {
      const Variable& variable = base.variables[v];
      if (!is_asked(base, facts.now(), variable.fact) ||
          std::find(owned.begin(), owned.end(), variable.fact) != owned.end())
        continue;
      const auto first = facts.now().answers.begin() + variable.first_slot;
      const auto open = std::find(first, first + variable.slots, -1);
      if (open == first + variable.slots) continue;
      const std::size_t slot = static_cast<std::size_t>(open - facts.now().answers.begin());
      CAPTURE(base.variable_name(static_cast<int>(v)));

      std::vector<double> mixture(variable.base.size(), 0.0), one(variable.base.size());
      for (std::size_t h = 0; h < posterior.mass.size(); ++h) {
        if (posterior.mass[h] <= 0.0) continue;
        prospect(reasoner, posterior.hypotheses[h], static_cast<int>(v), slot,
                 facts.rounds[0].answers, one.data());
        for (std::size_t a = 0; a < one.size(); ++a) mixture[a] += posterior.mass[h] * one[a];
      }
      REQUIRE(sum_of(mixture) == doctest::Approx(1.0).epsilon(1e-9));

      std::vector<double> expected(base.causes.size(), 0.0);
      double not_listed = 0.0;
      for (int a = 0; a < variable.size(); ++a) {
        if (mixture[at(a)] <= 0.0) continue;
        learn(variable, slot, a, facts);
        const Ranking after = rank(reasoner, facts);
        for (const Ranked& ranked : after.causes)
          expected[at(ranked.cause)] += mixture[at(a)] * ranked.probability;
        not_listed += mixture[at(a)] * after.not_listed;
      }
      learn(variable, slot, -1, facts);
      double off = std::abs(not_listed - now.not_listed);
      for (const Ranked& ranked : now.causes)
        off = std::max(off, std::abs(expected[at(ranked.cause)] - ranked.probability));
      REQUIRE(off <= 1e-9);
      most = std::max(most, off);
      ++combinations;
    }
  }
  MESSAGE(combinations << " variables learned, off by at most " << most);
  CHECK(combinations > 700);
}
