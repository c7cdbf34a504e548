// The plan of a drive: it tells apart what it says, with nothing that is not offered, and all that
// can be told.
#include "engine/planning/road_plan.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "tests/engine/planning/road_world.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

constexpr double kClose = 1e-9;

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// How far a check sets two hypotheses apart, from what the whole answer model says with and
// without each answer.
class Model {
 public:
  Model(const Reasoner& reasoner, const CaseFacts& facts)
      : reasoner_(reasoner), base_(reasoner.base()), facts_(facts) {}

  double apart(int check, int one, int other) const {
    double most = 0.0;
    for (const int f : base_.checks[at(check)].learns) {
      const Fact& fact = base_.facts[at(f)];
      if (fact.kind == FactKind::text || fact.id == "measured_frequency" ||
          !is_asked(base_, facts_.now(), f))
        continue;
      for (int v = fact.first_variable; v < fact.first_variable + fact.variable_count; ++v) {
        const std::vector<double> a = row(v, one), b = row(v, other);
        double sum = 0.0;
        for (std::size_t i = 0; i < a.size(); ++i) sum += std::abs(a[i] - b[i]);
        most = std::max(most, 0.5 * sum);
      }
    }
    return most;
  }

 private:
  double ratio(const Answers& then, int hypothesis) const {
    const std::vector<double> now = reasoner_.answers().log_weights(facts_.now().answers);
    return std::exp(reasoner_.answers().log_weights(then)[at(hypothesis)] - now[at(hypothesis)]);
  }

  std::vector<double> row(int variable, int hypothesis) const {
    const Variable& v = base_.variables[at(variable)];
    std::vector<std::size_t> open;
    for (int place = 0; place < v.slots; ++place) {
      // What road or bay were unsure of, or read between the edges of a limit, tells nothing here.
      const Reading* known = facts_.now().find(v.fact, v.per == Per::vehicle_case ? -1 : place);
      if (known && known->by >= Asker::road) continue;
      const std::size_t slot = at(v.first_slot + place);
      if (facts_.now().answers[slot] < 0) open.push_back(slot);
    }
    if (open.empty()) return {};
    Answers then = facts_.now().answers;
    if (v.size() == 2 && open.size() > 1) {
      double none = 1.0;
      for (const std::size_t slot : open) {
        then[slot] = 0;
        none *= v.base[0];
      }
      none *= ratio(then, hypothesis);
      return {none, 1.0 - none};
    }
    std::vector<double> out;
    for (int a = 0; a < v.size(); ++a) {
      then[open.front()] = a;
      out.push_back(v.base[at(a)] * ratio(then, hypothesis));
    }
    return out;
  }

  const Reasoner& reasoner_;
  const RuleBase& base_;
  const CaseFacts& facts_;
};

bool on_the_road(const Check& check) {
  return check.by == Asker::road && check.moves != Moves::wheels_spin;
}

bool is_long(const Check& check) {
  return check.moves != Moves::no && check.minutes > kLongestManoeuvre;
}

// The bay's last word on what the gates of a random path ask.
void let_drive(CaseFile& file) {
  file.add(says("loose", "no", 59));
  file.add(says("sound", "yes", 59));
}

struct Planned {
  Planned(const World& world, const CaseFile& file)
      : facts(world.facts(file)),
        ranking(rank(world.reasoner, facts)),
        offers(offers_of(world.base, facts)),
        plan(road_plan(world.reasoner, facts, ranking, offers)) {}
  CaseFacts facts;
  Ranking ranking;
  Offers offers;
  RoadPlan plan;
};

}  // namespace

TEST_CASE("over random rule bases a plan tells apart what it says, and all that can be told") {
  int told = 0, open = 0, longer = 0, stopped = 0;
  for (std::uint64_t seed = 0; seed < 1500; ++seed) {
    CAPTURE(seed);
    World world(seed + 240000);
    const RuleBase& base = world.base;
    CaseFile file = random_case(base, world.random, {6, 0.1, 0.1, 0.1});
    if (world.random.chance(0.5)) let_drive(file);
    const Planned planned(world, file);
    const RoadPlan& plan = planned.plan;
    if (planned.facts.stopped()) {
      ++stopped;
      REQUIRE(!plan.stops.empty());
      REQUIRE(plan.manoeuvres.empty());
      REQUIRE(plan.longer.empty());
      continue;
    }
    REQUIRE(plan.stops.empty());
    const Model model(world.reasoner, planned.facts);
    const auto all = [&](bool long_ones) -> const std::vector<RoadManoeuvre>& {
      return long_ones ? plan.longer : plan.manoeuvres;
    };
    for (const bool long_ones : {false, true})
      for (const RoadManoeuvre& driven : all(long_ones)) {
        const Check& check = base.checks[at(driven.check)];
        const std::vector<int>& offered = planned.offers.checks;
        REQUIRE(std::find(offered.begin(), offered.end(), driven.check) != offered.end());
        REQUIRE(on_the_road(check));
        REQUIRE(is_long(check) == long_ones);
        for (const RoadPair& pair : driven.separates) {
          REQUIRE(pair.first < pair.second);
          REQUIRE(pair.apart >= kTellsApart);
          REQUIRE(pair.apart ==
                  doctest::Approx(model.apart(driven.check, plan.suspects[pair.first].cause,
                                              plan.suspects[pair.second].cause))
                      .epsilon(1e-9));
        }
      }
    for (std::size_t i = 0; i < plan.suspects.size(); ++i)
      for (std::size_t j = i + 1; j < plan.suspects.size(); ++j) {
        double best = 0.0, best_long = 0.0, reached = 0.0, reached_long = 0.0;
        for (const int c : planned.offers.checks) {
          if (!on_the_road(base.checks[at(c)])) continue;
          double& most = is_long(base.checks[at(c)]) ? best_long : best;
          most = std::max(most, model.apart(c, plan.suspects[i].cause, plan.suspects[j].cause));
        }
        for (const bool long_ones : {false, true})
          for (const RoadManoeuvre& driven : all(long_ones))
            for (const RoadPair& pair : driven.separates)
              if (pair.first == i && pair.second == j)
                (long_ones ? reached_long : reached) =
                    std::max(long_ones ? reached_long : reached, pair.apart);
        const bool left = std::any_of(
            plan.left_open.begin(), plan.left_open.end(),
            [&](const RoadLeftOpen& pair) { return pair.first == i && pair.second == j; });
        if (best >= kTellsApart + kClose) {
          REQUIRE(reached >= std::max(kTellsApart, best - kNearBest) - kClose);
          ++told;
        } else if (best <= kTellsApart - kClose && best_long >= kTellsApart + kClose) {
          REQUIRE(reached_long >= std::max(kTellsApart, best_long - kNearBest) - kClose);
          ++longer;
        }
        if (std::abs(std::max(best, best_long) - kTellsApart) > kClose)
          REQUIRE(left == (std::max(best, best_long) < kTellsApart));
        open += left;
      }
  }
  MESSAGE(told << " pairs told, " << longer << " by a longer drive, " << open << " left open, "
               << stopped << " stopped");
  CHECK(told > 200);
  CHECK(longer > 5);
  CHECK(open > 200);
  CHECK(stopped > 50);
}

TEST_CASE(
    "nothing in a plan is superfluous, and it stands first and drives in the driver's order") {
  for (std::uint64_t seed = 0; seed < 600; ++seed) {
    CAPTURE(seed);
    World world(seed + 250000);
    const CaseFile file = random_case(world.base, world.random, {6, 0.1, 0.1, 0.05});
    const RoadPlan plan = Planned(world, file).plan;
    for (std::size_t m = 0; m < plan.manoeuvres.size(); ++m) {
      const RoadManoeuvre& driven = plan.manoeuvres[m];
      if (m > 0)
        REQUIRE(road_style(world.base, plan.manoeuvres[m - 1].check).stage <=
                road_style(world.base, driven.check).stage);
      if (driven.need != RoadNeed::none) continue;
      // There is a pair that no other manoeuvre tells nearly as well.
      REQUIRE(
          std::any_of(driven.separates.begin(), driven.separates.end(), [&](const RoadPair& pair) {
            return std::none_of(plan.manoeuvres.begin(), plan.manoeuvres.end(),
                                [&](const RoadManoeuvre& other) {
                                  return other.check != driven.check &&
                                         std::any_of(other.separates.begin(), other.separates.end(),
                                                     [&](const RoadPair& same) {
                                                       return same.first == pair.first &&
                                                              same.second == pair.second &&
                                                              same.apart >= pair.apart - kClose;
                                                     });
                                });
          }));
    }
  }
}

TEST_CASE("the same case gives the same plan, in whatever order it was entered") {
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    CAPTURE(seed);
    World world(seed + 260000);
    const CaseFile file = random_case(world.base, world.random, {8, 0.1, 0.1, 0.05});
    const std::string once = told_plan(Planned(world, file).plan);
    REQUIRE(once == told_plan(Planned(world, file).plan));
    REQUIRE(once == told_plan(Planned(world, shuffled(file, world.random)).plan));
  }
}

TEST_CASE("suspects are the most probable, until they cover what is listed") {
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    CAPTURE(seed);
    World world(seed + 270000);
    const CaseFile file = random_case(world.base, world.random);
    const Planned planned(world, file);
    std::map<int, double> all;
    double listed = planned.ranking.nothing_left, covered = 0.0;
    if (listed > 0.0) all[world.base.nothing_left()] = listed;
    for (const Ranked& ranked : planned.ranking.causes) {
      const std::vector<int>& shown = planned.facts.verdicts;
      if (std::find(shown.begin(), shown.end(), ranked.cause) != shown.end()) continue;
      all[ranked.cause] = ranked.probability;
      listed += ranked.probability;
    }
    double least = 1.0;
    for (const RoadSuspect& suspect : planned.plan.suspects) {
      REQUIRE(all.at(suspect.cause) == suspect.probability);
      REQUIRE(suspect.probability >= kLeastSuspect);
      REQUIRE(suspect.probability <= least);
      REQUIRE(covered < kCovered * listed);
      least = suspect.probability;
      covered += suspect.probability;
      all.erase(suspect.cause);
    }
    REQUIRE(planned.plan.suspects.size() <= kMostSuspects);
    const bool enough =
        covered >= kCovered * listed || planned.plan.suspects.size() == kMostSuspects;
    for (const auto& [cause, probability] : all) {
      REQUIRE(probability <= least);
      REQUIRE((enough || probability < kLeastSuspect));
    }
  }
}
