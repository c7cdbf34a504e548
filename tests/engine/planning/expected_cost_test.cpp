// Expected cost of repair against all orders of the repairs, tried one by one.
//
// For one fault and cures that do not overlap the order of probability over cost is the best one,
// and stopping to hand on is best as soon as going on costs more (Heckerman, Breese and Rommelse
// 1995).
#include "engine/planning/expected_cost.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <numeric>
#include <vector>

#include "tests/engine/planning/exact_optimum.h"
#include "tests/engine/reasoning/lcg.h"

namespace perrev {
namespace {

double handed_on(const DecisionModel& model, const std::vector<double>& mass) {
  return std::inner_product(mass.begin(), mass.end(), model.handing_on.begin(), 0.0);
}

// The best over all orders of all repairs, each followed until handing on, at the best moment.
double best_order(const DecisionModel& model, const std::vector<double>& mass) {
  std::vector<std::size_t> order(model.repairs.size());
  std::iota(order.begin(), order.end(), 0U);
  double best = std::numeric_limits<double>::infinity();
  do {
    std::vector<double> left = mass;
    double spent = 0.0;
    best = std::min(best, handed_on(model, left));
    for (const std::size_t r : order) {
      spent += model.repairs[r].minutes * std::accumulate(left.begin(), left.end(), 0.0);
      left = testing::after_repair(model.repairs[r], left);
      best = std::min(best, spent + handed_on(model, left));
    }
  } while (std::next_permutation(order.begin(), order.end()));
  return best;
}

// Up to 6 repairs of one or two hypotheses each, none of them shared, and one that no repair cures.
DecisionModel disjoint(testing::Lcg& random, double handing_on) {
  DecisionModel out;
  const int repairs = random.between(1, 6);
  for (int r = 0; r < repairs; ++r) {
    out.repairs.push_back({{r}, random.real(5, 150), {}});
    for (int i = random.between(1, 2); i > 0; --i) out.hypotheses.push_back({r, -1});
  }
  out.hypotheses.push_back({-1, -1});
  for (const Hypothesis& hypothesis : out.hypotheses) {
    out.mass.push_back(random.chance(0.2) ? random.real(0.02, 0.1) : random.real(0.1, 1.0));
    out.handing_on.push_back(handing_on);
    for (std::size_t r = 0; r < out.repairs.size(); ++r)
      out.repairs[r].leaves.push_back(hypothesis.first == static_cast<int>(r)
                                          ? kFixed
                                          : static_cast<int>(out.repairs[r].leaves.size()));
  }
  const double total = std::accumulate(out.mass.begin(), out.mass.end(), 0.0);
  for (double& m : out.mass) m /= total;
  return out;
}

TEST_CASE("expected cost is the best over all orders when handing on costs far more") {
  testing::Lcg random(71);
  for (int i = 0; i < 400; ++i) {
    const DecisionModel model = disjoint(random, 1e6);
    CAPTURE(i);
    CHECK(ExpectedCost(model).minutes(model.mass) ==
          doctest::Approx(best_order(model, model.mass)).epsilon(1e-9));
  }
}

TEST_CASE("expected cost is the best over all orders and all moments to hand on") {
  testing::Lcg random(72);
  double worst = 0.0;
  int above = 0, worst_model = -1;
  for (int i = 0; i < 800; ++i) {
    const DecisionModel model = disjoint(random, random.real(20, 600));
    const double best = best_order(model, model.mass);
    const double gap = ExpectedCost(model).minutes(model.mass) / best - 1.0;
    CAPTURE(i);
    CHECK(gap >= -1e-9);
    if (gap > 1e-9) ++above;
    if (gap <= worst) continue;
    worst = gap;
    worst_model = i;
  }
  CAPTURE(worst_model);
  CAPTURE(worst);
  CHECK(above == 0);
}

TEST_CASE("expected cost: worked by hand") {
  struct Row {
    double a, minutes_a, b, minutes_b, handing_on, cost;  // the rest is not listed
  };
  const Row rows[] = {
      {0.5, 20, 0.5, 30, 500, 35.0},      // A first: 20 + 0.5*30; B first: 30 + 0.5*20 = 40
      {0.2, 20, 0.8, 40, 500, 44.0},      // B first: 0.8/40 beats 0.2/20; 40 + 0.2*20
      {0.6, 20, 0.0, 30, 100, 60.0},      // A, then 0.4 handed on: 20 + 40
      {0.1, 50, 0.1, 50, 100, 100.0},     // at once: A first is 50 + 90
      {0.5, 60, 0.5, 60, 110, 90.0},      // alone neither is worth it (60 + 55), both are: 60 + 30
      {0.475, 50, 0.475, 50, 100, 81.25}  // likewise: 50 + 0.525*50 + 0.05*100
  };
  for (const Row& row : rows) {
    DecisionModel model;
    model.hypotheses = {{0, -1}, {1, -1}, {-1, -1}};
    model.mass = {row.a, row.b, 1.0 - row.a - row.b};
    model.repairs = {{{0}, row.minutes_a, {kFixed, 1, 2}}, {{1}, row.minutes_b, {0, kFixed, 2}}};
    model.handing_on = {row.handing_on, row.handing_on, row.handing_on};
    CAPTURE(&row - rows);
    CHECK(best_order(model, model.mass) == doctest::Approx(row.cost));
    CHECK(ExpectedCost(model).minutes(model.mass) == doctest::Approx(row.cost));
    // Twice the mass, twice the minutes.
    for (double& m : model.mass) m *= 2.0;
    CHECK(ExpectedCost(model).minutes(model.mass) == doctest::Approx(2.0 * row.cost));
  }
}

// Where cures overlap or leave a second fault the order need not be the best one, but it can be
// carried out, and whoever knows the fault pays less.
TEST_CASE("expected cost lies between knowing the fault and handing on, whatever repairs leave") {
  testing::Lcg random(73);
  for (int i = 0; i < 400; ++i) {
    DecisionModel model = disjoint(random, random.real(20, 600));
    const int n = static_cast<int>(model.hypotheses.size());
    // What a repair leaves it does not touch again.
    for (RepairChoice& repair : model.repairs)
      for (int h = 0; h + 1 < n; ++h)
        if (random.chance(0.3))
          repair.leaves[static_cast<std::size_t>(h)] = random.chance(0.5) ? kFixed : n - 1;
    for (double& minutes : model.handing_on) minutes *= random.real(0.5, 1.5);
    // Two faults are never handed on for less than one of them.
    for (double& minutes : model.handing_on) minutes = std::max(minutes, model.handing_on.back());
    CAPTURE(i);
    ExpectedCost cost(model);
    const double minutes = cost.minutes(model.mass);
    CHECK(minutes >= cost.minutes_if_known(model.mass) * (1.0 - 1e-9));
    CHECK(minutes <= handed_on(model, model.mass) * (1.0 + 1e-9));
    CHECK(minutes >= best_order(model, model.mass) * (1.0 - 1e-9));
  }
}

TEST_CASE("whoever knows of two faults repairs one after the other") {
  DecisionModel model;
  model.hypotheses = {{0, -1}, {1, -1}, {0, 1}};
  model.mass = {0.0, 0.0, 1.0};
  model.repairs = {{{0}, 10, {kFixed, 1, 1}}, {{1}, 10, {0, kFixed, 0}}};
  model.handing_on = {100, 100, 120};
  CHECK(best_order(model, model.mass) == doctest::Approx(20.0));
  ExpectedCost cost(model);
  CHECK(cost.minutes(model.mass) == doctest::Approx(20.0));
  CHECK(cost.minutes_if_known(model.mass) == doctest::Approx(20.0));
}

}  // namespace
}  // namespace perrev
