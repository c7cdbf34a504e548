// What to ask next at each of the three places.
#include "engine/planning/asking.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <vector>

#include "engine/planning/check_outcomes.h"
#include "engine/planning/complaint.h"
#include "engine/planning/expected_cost.h"
#include "engine/planning/look_ahead.h"
#include "engine/reasoning/feature.h"
#include "tests/engine/planning/cut_models.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

const std::vector<Asker> kAskers = {Asker::write_up, Asker::road, Asker::bay};

bool learns(const Check& check, int fact) {
  return std::find(check.learns.begin(), check.learns.end(), fact) != check.learns.end();
}

}  // namespace

TEST_CASE("only open facts of checks that are offered there, each as often as it is learned") {
  int asked = 0, empty = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    World world(seed + 310000);
    const RuleBase& base = world.base;
    const CaseFacts facts = world.facts(random_case(base, world.random, {4, 0.1, 0.1, 0.1}));
    const Planner planner(world.reasoner);
    const Ranking ranking = rank(world.reasoner, facts);
    const Offers offers = offers_of(base, facts);
    const int shut = world.random.below(static_cast<int>(base.facts.size()));
    for (const Asker by : kAskers) {
      const std::vector<int> found = facts_to_ask(planner, facts, ranking, offers, {}, by,
                                                  [&](int fact) { return fact != shut; });
      for (const int fact : found) {
        REQUIRE(fact != shut);
        REQUIRE(std::any_of(offers.checks.begin(), offers.checks.end(), [&](int c) {
          return base.checks[at(c)].by == by && learns(base.checks[at(c)], fact);
        }));
      }
      asked += !found.empty();
      empty += found.empty();
    }
  }
  CHECK(asked > 200);
  CHECK(empty > 200);
}

TEST_CASE("on the road and in the bay all that tells something can be entered") {
  for (std::uint64_t seed = 0; seed < 6; ++seed) {
    Complaint complaint(shipped_planner().reasoner(), seed);
    for (const int check : shipped_planner().safety_checks()) complaint.learn(check);
    const CaseFacts& facts = complaint.facts();
    if (facts.stopped()) continue;
    const Ranking ranking = rank(shipped_planner().reasoner(), facts);
    const Offers offers = offers_of(shipped_rules(), facts);
    for (const Asker by : {Asker::road, Asker::bay}) {
      const std::vector<int> found =
          facts_to_ask(shipped_planner(), facts, ranking, offers, {}, by, [](int) { return true; });
      const std::set<int> named(found.begin(), found.end());
      for (const NextCheck& next :
           next_steps(shipped_planner().reasoner(), facts, ranking, offers).checks) {
        const Check& check = shipped_rules().checks[at(next.check)];
        if (check.by != by || next.bits < 0.01) continue;
        for (const int fact : check.learns) CHECK(named.count(fact) == 1);
      }
    }
  }
}

TEST_CASE("the write-up asks while a question is worth its minutes, and no longer") {
  const Reasoner& reasoner = shipped_planner().reasoner();
  for (std::uint64_t seed = 0; seed < 8; ++seed) {
    CAPTURE(seed);
    Complaint complaint(reasoner, seed);
    int questions = 0;
    for (;; ++questions) {
      REQUIRE(questions < 250);
      const CaseFacts& facts = complaint.facts();
      const Ranking ranking = rank(reasoner, facts);
      Offers offers = offers_of(shipped_rules(), facts);
      const std::vector<int> found = facts_to_ask(shipped_planner(), facts, ranking, offers, {},
                                                  Asker::write_up, [](int) { return true; });
      if (found.empty()) {
        // A bit is worth what not knowing costs; nothing that is left is worth as much as it takes.
        PlannerLimits none;
        none.questions = none.checks = 0;
        const DecisionModel model = shipped_planner().model(facts, ranking, offers, {}, none);
        double entropy = 0.0;
        for (const double p : model.mass)
          if (p > 0.0) entropy -= p * std::log2(p);
        ExpectedCost cost(model);
        const double bit = (cost.minutes(model.mass) - cost.minutes_if_known(model.mass)) / entropy;
        for (const int c : offers.checks) {
          const Check& check = shipped_rules().checks[at(c)];
          if (check.by != Asker::write_up || check.minutes > 1.0 || check.setup >= 0) continue;
          const LikelihoodTable table =
              outcomes_of(reasoner, facts, c, model.hypotheses, model.mass, 8);
          CAPTURE(check.id);
          if (!table.empty()) CHECK(bits_of(table, model.mass) * bit <= check.minutes);
        }
        break;
      }
      const auto asked = std::find_if(offers.checks.begin(), offers.checks.end(), [&](int c) {
        const Check& check = shipped_rules().checks[at(c)];
        return check.by == Asker::write_up && learns(check, found.front());
      });
      REQUIRE(asked != offers.checks.end());
      complaint.learn(*asked);
    }
    MESSAGE(questions << " questions");
    CHECK(questions > 3);
  }
}
