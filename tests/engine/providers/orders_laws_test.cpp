// Laws of what the orders say: probabilities sum to one, what is not known is summed out, and what
// a check could show is what the weights say once it is known.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>
#include <vector>

#include "engine/providers/orders.h"
#include "engine/providers/orders_beat.h"
#include "engine/reasoning/ranking.h"
#include "tests/engine/providers/shaking_base.h"
#include "tests/engine/reasoning/lcg.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::string text(double value, const char* unit) { return std::to_string(value) + " " + unit; }

// Any part of what can be known of the vehicle and its moment.
std::vector<BayEntry> any_vehicle(Lcg& random) {
  const std::vector<BayEntry> all = {
      {"tire_size", {"225/60R16"}, "all", {}},
      {"driven_axle", {random.chance(0.5) ? "rear" : "all"}, "", {}},
      {"powertrain", {"engine"}, "", {}},
      {"axle_ratio", {text(random.real(2.9, 4.3), "")}, "", {}},
      {"worst_speed", {text(random.real(20.0, 150.0), "km/h")}, "", {{"by", "gps"}}},
      {"cylinders", {random.chance(0.5) ? "four" : "six"}, "", {}},
      {"rpm_at_worst", {text(random.real(700.0, 3500.0), "rpm")}, "", {}},
      {"circumference_difference", {text(random.real(0.0, 2.0), "%")}, "", {}},
      {"tread_depth", {text(random.real(2.0, 8.0), "mm")}, "left_front", {}},
      {"tread_depth", {text(random.real(2.0, 8.0), "mm")}, "right_front", {}}};
  const double known = random.pick(std::vector<double>{0.0, 0.5, 0.8, 1.0});
  std::vector<BayEntry> out;
  for (const BayEntry& one : all)
    if (random.chance(known)) out.push_back(one);
  return out;
}

BayEntry any_answer(Lcg& random) {
  const Fact& fact =
      shaking_rules().facts[static_cast<std::size_t>(shaking_rules().fact_index("how_fast"))];
  return {"how_fast", {random.pick(fact.answers).id}, "", {}};
}

BayEntry any_peaks(Lcg& random) {
  BayEntry out{"measured_frequency", {}, "", {}};
  for (int k = random.between(1, 3); k > 0; --k)
    out.values.push_back(text(random.real(3.0, 150.0), "Hz"));
  return out;
}

BayEntry any_period(Lcg& random) {
  return {"beat_period", {text(random.real(0.3, 100.0), "s")}, "", {}};
}

// Of the three facts, those but `left_out` that happen to be known.
std::vector<BayEntry> any_case(Lcg& random, const std::string& left_out) {
  std::vector<BayEntry> out = any_vehicle(random);
  for (const BayEntry& one : {any_answer(random), any_peaks(random), any_period(random)})
    if (one.fact != left_out && random.chance(0.5)) out.push_back(one);
  return out;
}

std::vector<double> weights(const std::vector<BayEntry>& told) {
  const ProviderWeights said = OrdersProvider().weigh(shaking_rules(), facts_from(told), 0);
  return said.facts.empty() ? std::vector<double>(shaking_rules().causes.size(), 0.0)
                            : said.by_cause;
}

std::vector<double> weights(std::vector<BayEntry> told, const BayEntry& more) {
  told.push_back(more);
  return weights(told);
}

ProviderTable table(const std::vector<BayEntry>& told, const char* fact) {
  return OrdersProvider().expect(
      shaking_rules(), facts_from(told),
      shaking_rules()
          .facts[static_cast<std::size_t>(shaking_rules().fact_index(fact))]
          .first_variable);
}

const std::vector<double>& row_of(const ProviderTable& said, std::size_t cause) {
  return said.by_cause[cause].empty() ? said.base : said.by_cause[cause];
}

double sum(const std::vector<double>& row) { return std::accumulate(row.begin(), row.end(), 0.0); }

void check_distributions(const ProviderTable& said) {
  REQUIRE(said.by_cause.size() == shaking_rules().causes.size());
  REQUIRE(sum(said.base) == doctest::Approx(1.0).epsilon(1e-9));
  for (const std::vector<double>& row : said.by_cause) {
    if (row.empty()) continue;
    REQUIRE(row.size() == said.base.size());
    REQUIRE(sum(row) == doctest::Approx(1.0).epsilon(1e-9));
    for (const double p : row) REQUIRE(p > 0.0);
  }
}

// P(known and answer a | cause) over not_listed, for each answer of the fact: what `weigh` says
// once it is known, against the expected row.
void check_answers(const std::vector<BayEntry>& told, const char* fact,
                   const std::vector<BayEntry>& answers) {
  const ProviderTable expected = table(told, fact);
  check_distributions(expected);
  REQUIRE(answers.size() == expected.base.size());
  const std::vector<double> before = weights(told);
  std::vector<double> summed(before.size(), 0.0);
  for (std::size_t a = 0; a < answers.size(); ++a) {
    const std::vector<double> after = weights(told, answers[a]);
    for (std::size_t c = 0; c < before.size(); ++c) {
      REQUIRE(expected.base[a] * std::exp(after[c] - before[c]) ==
              doctest::Approx(row_of(expected, c)[a]).epsilon(1e-9));
      summed[c] += expected.base[a] * std::exp(after[c]);
    }
  }
  for (std::size_t c = 0; c < before.size(); ++c)
    REQUIRE(summed[c] == doctest::Approx(std::exp(before[c])).epsilon(1e-9));
}

}  // namespace

TEST_CASE("how fast it feels: what is known is the sum over what is not, answer by answer") {
  Lcg random(101);
  std::vector<BayEntry> answers;
  for (const Answer& answer :
       shaking_rules()
           .facts[static_cast<std::size_t>(shaking_rules().fact_index("how_fast"))]
           .answers)
    answers.push_back({"how_fast", {answer.id}, "", {}});
  for (int i = 0; i < 150; ++i) check_answers(any_case(random, "how_fast"), "how_fast", answers);
}

TEST_CASE("a counted swelling: what is known is the sum over what is not, band by band") {
  Lcg random(103);
  std::vector<BayEntry> answers;
  const BeatFact fact = beat_fact(shaking_rules());
  for (std::size_t b = 0; b < fact.base.size(); ++b)
    answers.push_back(
        {"beat_period", {text(random.real(fact.edges[b], fact.edges[b + 1]), "s")}, "", {}});
  for (int i = 0; i < 150; ++i)
    check_answers(any_case(random, "beat_period"), "beat_period", answers);
}

// A frequency is weighed by its density: over each band, the integral of what `weigh` says is what
// was expected of the band. Simpson's rule in the logarithm.
TEST_CASE("a measured frequency: what is known is the integral over what is not, band by band") {
  Lcg random(107);
  constexpr int kSteps = 24;
  for (int i = 0; i < 12; ++i) {
    const std::vector<BayEntry> told = any_case(random, "measured_frequency");
    const ProviderTable expected = table(told, "measured_frequency");
    if (expected.base.empty()) continue;
    check_distributions(expected);
    const std::vector<double> before = weights(told);
    const double bands = static_cast<double>(expected.base.size());
    for (int k = 0; k < 6; ++k) {
      const std::size_t band = static_cast<std::size_t>(random.below(static_cast<int>(bands)));
      std::vector<double> inside(before.size(), 0.0);
      for (int s = 0; s <= kSteps; ++s) {
        const double at = (static_cast<double>(band) + static_cast<double>(s) / kSteps) / bands;
        const double hz = std::clamp(std::pow(200.0, at), 1.0000005, 199.9999995);
        const std::vector<double> after =
            weights(told, {"measured_frequency", {text(hz, "Hz")}, "", {}});
        const double simpson = s == 0 || s == kSteps ? 1.0 : s % 2 == 1 ? 4.0 : 2.0;
        for (std::size_t c = 0; c < before.size(); ++c)
          inside[c] += simpson * std::exp(after[c] - before[c]) / (3.0 * kSteps);
      }
      for (std::size_t c = 0; c < before.size(); ++c)
        REQUIRE(expected.base[band] * inside[c] ==
                doctest::Approx(row_of(expected, c)[band]).epsilon(2e-3));
    }
  }
}

// By single causes: the share of each after an answer, over all answers, is its share before.
TEST_CASE("the expected posterior is the posterior") {
  Lcg random(109);
  const OrdersProvider provider;
  const Reasoner reasoner(shaking_rules(), {&provider});
  const auto posterior = [&](const std::vector<BayEntry>& told) {
    std::vector<double> out = {1.0};  // not listed
    for (const double odds : log_odds(reasoner, facts_from(told))) out.push_back(std::exp(odds));
    const double all = sum(out);
    for (double& p : out) p /= all;
    return out;
  };
  const Fact& fact =
      shaking_rules().facts[static_cast<std::size_t>(shaking_rules().fact_index("how_fast"))];
  for (int i = 0; i < 40; ++i) {
    const std::vector<BayEntry> told = any_case(random, "how_fast");
    const ProviderTable expected = table(told, "how_fast");
    const std::vector<double> before = posterior(told);
    std::vector<double> mean(before.size(), 0.0);
    for (std::size_t a = 0; a < fact.answers.size(); ++a) {
      double p = before[0] * expected.base[a];
      for (std::size_t c = 0; c + 1 < before.size(); ++c)
        p += before[c + 1] * row_of(expected, c)[a];
      std::vector<BayEntry> more = told;
      more.push_back({"how_fast", {fact.answers[a].id}, "", {}});
      const std::vector<double> after = posterior(more);
      for (std::size_t h = 0; h < mean.size(); ++h) mean[h] += p * after[h];
    }
    for (std::size_t h = 0; h < mean.size(); ++h)
      REQUIRE(mean[h] == doctest::Approx(before[h]).epsilon(1e-9));
  }
}

TEST_CASE("a fact is not expected to be what it is already known to be") {
  Lcg random(113);
  for (int i = 0; i < 30; ++i) {
    std::vector<BayEntry> told = any_case(random, "how_fast");
    const ProviderTable without = table(told, "how_fast");
    told.push_back(any_answer(random));
    const ProviderTable with = table(told, "how_fast");
    REQUIRE(with.by_cause == without.by_cause);
  }
}

TEST_CASE("the order of entries moves nothing by a bit, and unsure says nothing") {
  Lcg random(127);
  for (int i = 0; i < 60; ++i) {
    std::vector<BayEntry> told = any_case(random, "");
    const std::vector<double> said = weights(told);
    random.shuffle(told);
    REQUIRE(weights(told) == said);
    for (const char* fact : {"how_fast", "measured_frequency", "beat_period"}) {
      if (std::any_of(told.begin(), told.end(), [&](const BayEntry& t) { return t.fact == fact; }))
        continue;
      REQUIRE(weights(told, {fact, {"unsure"}, "", {}}) == said);
    }
  }
}
