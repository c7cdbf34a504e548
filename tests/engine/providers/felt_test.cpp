// Laws of what physics says, with the shipped rules: they hold for pairs of a cause that is
// computed and one that rules speak of as well.
#include "engine/providers/felt.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "engine/knowledge/computed.h"
#include "engine/planning/complaint.h"
#include "engine/providers/orders.h"
#include "engine/reasoning/feature.h"
#include "engine/reasoning/ranking.h"
#include "tests/engine/planning/cut_models.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

const FeltProvider& felt() {
  static const FeltProvider made;
  return made;
}
const Reasoner& reasoner() {
  static const OrdersProvider orders;
  static const Reasoner made(shipped_rules(), {&felt(), &orders});
  return made;
}

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// Each variable of the computed facts is answered with a chance of two in five.
CaseFacts partly_told(std::uint64_t seed) {
  const RuleBase& base = reasoner().base();
  Random random(seed);
  CaseFacts facts = nothing_known(base);
  for (const int fact : felt().facts(base)) {
    const Fact& of = base.facts[at(fact)];
    Reading made;
    made.fact = fact;
    bool told = false;
    for (int v = of.first_variable; v < of.first_variable + of.variable_count; ++v) {
      const bool tells = random.real() < 0.4;
      made.answers.push_back(tells ? static_cast<int>(random.weighted(base.variables[at(v)].base))
                                   : -1);
      told = told || tells;
    }
    if (told) enter_reading(base, facts, made);
  }
  return facts;
}

// The same with one more answer.
CaseFacts with_answer(const CaseFacts& before, int variable, int answer) {
  const RuleBase& base = reasoner().base();
  const Variable& v = base.variables[at(variable)];
  const Fact& fact = base.facts[at(v.fact)];
  CaseFacts out = before;
  RoundFacts& now = out.rounds.back();
  now.answers[at(v.first_slot)] = answer;
  for (Reading& reading : now.readings)
    if (reading.fact == v.fact) {
      reading.answers[at(variable - fact.first_variable)] = answer;
      return out;
    }
  Reading made;
  made.fact = v.fact;
  made.answers.assign(at(fact.variable_count), -1);
  made.answers[at(variable - fact.first_variable)] = answer;
  enter_reading(base, out, made);
  return out;
}

}  // namespace

// P(answer | known) = base rate * P(not listed | known) / P(not listed | known and answer), because
// under not_listed answers have their base rates whatever else is known.
TEST_CASE(
    "what is known is the sum over what is not, and the expected posterior is the posterior") {
  const RuleBase& base = reasoner().base();
  int sums = 0;
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const CaseFacts facts = partly_told(seed);
    const Ranking now = rank(reasoner(), facts);
    for (int v = 0; v < static_cast<int>(base.variables.size()); ++v) {
      const Variable& variable = base.variables[at(v)];
      const std::vector<int> owned = felt().facts(base);
      if (std::find(owned.begin(), owned.end(), variable.fact) == owned.end() ||
          facts.now().answers[at(variable.first_slot)] >= 0)
        continue;
      CAPTURE(seed);
      CAPTURE(base.variable_name(v));
      double total = 0.0;
      std::vector<double> expected(base.causes.size(), 0.0);
      for (int a = 0; a < variable.size(); ++a) {
        const Ranking then = rank(reasoner(), with_answer(facts, v, a));
        const double p = variable.base[at(a)] * now.not_listed / then.not_listed;
        total += p;
        for (const Ranked& ranked : then.causes)
          expected[at(ranked.cause)] += p * ranked.probability;
      }
      CHECK(total == doctest::Approx(1.0).epsilon(1e-9));
      for (const Ranked& ranked : now.causes)
        CHECK(expected[at(ranked.cause)] == doctest::Approx(ranked.probability).epsilon(1e-7));
      ++sums;
    }
  }
  CHECK(sums > 20);
}

TEST_CASE("what an answer would be is what it weighs when it comes") {
  const RuleBase& base = reasoner().base();
  for (std::uint64_t seed = 11; seed <= 14; ++seed) {
    const CaseFacts facts = partly_told(seed);
    const ProviderWeights before = felt().weigh(base, facts, 0);
    for (const int fact : felt().facts(base)) {
      const int v = base.facts[at(fact)].first_variable;
      const Variable& variable = base.variables[at(v)];
      if (facts.now().answers[at(variable.first_slot)] >= 0) continue;
      const ProviderTable table = felt().expect(base, facts, v);
      REQUIRE(table.base == variable.base);
      for (int a = 0; a < variable.size(); ++a) {
        const ProviderWeights then = felt().weigh(base, with_answer(facts, v, a), 0);
        for (std::size_t c = 0; c < base.causes.size(); ++c) {
          if (table.by_cause[c].empty()) continue;
          CAPTURE(base.causes[c].id);
          const double was = before.facts.empty() ? 0.0 : before.by_cause[c];
          CHECK(std::exp(then.by_cause[c] - was) ==
                doctest::Approx(table.by_cause[c][at(a)] / variable.base[at(a)]).epsilon(1e-9));
        }
      }
    }
  }
}

TEST_CASE("what a computed fact could show sums to one for every hypothesis") {
  const RuleBase& base = reasoner().base();
  std::vector<Hypothesis> hypotheses = {{-1, -1}, {base.nothing_left(), -1}};
  for (int c = 0; c < static_cast<int>(base.causes.size()); ++c) hypotheses.push_back({c, -1});
  for (const Pair& pair : reasoner().pairs().pairs())
    hypotheses.push_back({pair.first, pair.second});
  for (std::uint64_t seed = 21; seed <= 23; ++seed) {
    const CaseFacts facts = partly_told(seed);
    for (const Provider* provider : reasoner().providers())
      for (const int fact : provider->facts(base))
        for (const Feature& feature : features_of(reasoner(), facts, fact, Asker::road)) {
          CAPTURE(base.variable_name(feature.variable));
          const LikelihoodTable table = table_of(reasoner(), facts, feature, hypotheses);
          for (std::size_t h = 0; h < hypotheses.size(); ++h) {
            double total = 0.0;
            for (const std::vector<double>& row : table) total += row[h];
            REQUIRE(total == doctest::Approx(1.0).epsilon(1e-9));
          }
        }
  }
}

TEST_CASE("every cause under faults is computed, and no other") {
  const RuleBase& base = reasoner().base();
  const CaseFacts facts = with_answer(
      nothing_known(base), base.facts[at(base.fact_index("how_strong"))].first_variable, 1);
  const ProviderWeights said = felt().weigh(base, facts, 0);
  REQUIRE(said.models.size() == base.causes.size());
  for (int c = 0; c < static_cast<int>(base.causes.size()); ++c) {
    CAPTURE(base.causes[at(c)].id);
    CHECK((said.models[at(c)] != 0) ==
          computation_of(base, base.fact_index("how_strong"), c).has_value());
    if (!said.models[at(c)]) CHECK(said.by_cause[at(c)] == 0.0);
  }
}

// Common practice: half shafts lead to the wheels that are driven.
TEST_CASE("a half shaft sits at the driven axle, where only one is driven") {
  const RuleBase& base = shipped_rules();
  const int driven_axle = base.facts[at(base.fact_index("driven_axle"))].first_variable;
  const int worst = base.facts[at(base.fact_index("worst_speed"))].first_variable;
  const Fact& asked = base.facts[at(base.fact_index("driven_axle"))];
  for (std::size_t a = 0; a < asked.answers.size(); ++a) {
    const std::string& axle = asked.answers[a].id;
    CAPTURE(axle);
    const CaseFacts facts = with_answer(nothing_known(base), driven_axle, static_cast<int>(a));
    const FeltVehicle vehicle = felt_vehicle(base, facts, 0);
    for (const PhysicsFault& fault : base.physics.faults) {
      const Cause& cause = base.causes[at(fault.cause)];
      CAPTURE(cause.id);
      CHECK(fault.driven == (base.families[at(cause.family)].id == "half_shaft"));
      const bool placed = fault.driven && (axle == "front" || axle == "rear");
      const double front = placed ? (axle == "front" ? 1.0 : 0.0) : fault.front;
      CHECK(share_at(fault, FeltPart::front_wheels, vehicle) == front);
      CHECK(share_at(fault, FeltPart::rear_wheels, vehicle) == 1.0 - front);
      for (int speed = 0; placed && speed < base.variables[at(worst)].size(); ++speed)
        CHECK(felt()
                  .because(base, with_answer(facts, worst, speed), 0, fault.cause)
                  .find(axle == "front" ? ", rear" : ", front") == std::string::npos);
    }
  }
}
