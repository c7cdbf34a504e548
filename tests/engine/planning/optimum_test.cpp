// The planner's policy against the exact optimum: on models cut from the shipped rules, and on
// small ones that are worked by hand. With questions no good bound can be promised for every model
// (Lin 2014), so the gap is measured where it matters.
#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "engine/planning/expected_cost.h"
#include "tests/engine/planning/cut_models.h"
#include "tests/engine/planning/exact_optimum.h"

namespace perrev {
namespace {

#if defined(PERREV_PLAIN_LOOPS)  // sanitizers look at memory, not at means
constexpr int kSingles = 30, kPairs = 10;
#else
constexpr int kSingles = 300, kPairs = 40;
#endif

using testing::Bounds;
using testing::ExactOptimum;
using testing::policy_minutes;
using testing::PolicyCost;

constexpr double kRounding = 1e-9;  // relative

struct Gap {
  std::uint64_t seed = 0;
  double relative = 0.0;
  double policy = 0.0, optimum = 0.0;
};

struct Gaps {
  std::vector<Gap> all;  // smallest first
  double mean = 0.0, at_95 = 0.0, worst = 0.0;
  std::string text;
};

Gaps gaps_of(DecisionModel (*cut)(std::uint64_t), int models) {
  Gaps out;
  std::size_t beliefs = 0, steps = 0;
  for (std::uint64_t seed = 1; seed <= static_cast<std::uint64_t>(models); ++seed) {
    const DecisionModel model = cut(seed);
    const std::vector<Setup>& setups = testing::shipped_rules().setups;
    ExactOptimum exact(model, setups);
    const double optimum = exact.minutes();
    const PolicyCost policy = policy_minutes(model, setups);
    beliefs += exact.beliefs();
    steps += policy.steps;
    out.all.push_back({seed, policy.minutes / optimum - 1.0, policy.minutes, optimum});
    ExpectedCost cost(model);
    double handed_on = 0.0;
    for (std::size_t h = 0; h < model.mass.size(); ++h)
      handed_on += model.mass[h] * model.handing_on[h];
    CAPTURE(seed);
    CAPTURE(testing::text_of(model));
    CHECK(policy.minutes >= optimum * (1.0 - kRounding));
    CHECK(optimum <= cost.minutes(model.mass) * (1.0 + kRounding));
    CHECK(optimum <= handed_on * (1.0 + kRounding));
    CHECK(optimum >= cost.minutes_if_known(model.mass) * (1.0 - kRounding));
  }
  std::sort(out.all.begin(), out.all.end(),
            [](const Gap& a, const Gap& b) { return a.relative < b.relative; });
  for (const Gap& gap : out.all) out.mean += gap.relative / models;
  out.at_95 = out.all[out.all.size() * 95 / 100].relative;
  out.worst = out.all.back().relative;
  std::ostringstream text;
  text.precision(3);
  text << models << " models, gap to the optimum: mean " << 100.0 * out.mean
       << " %, 95th percentile " << 100.0 * out.at_95 << " %, worst " << 100.0 * out.worst
       << " % (model " << out.all.back().seed << ": " << out.all.back().policy << " against "
       << out.all.back().optimum << " minutes); " << beliefs / out.all.size() << " beliefs and "
       << steps / out.all.size() << " steps a model";
  out.text = text.str();
  return out;
}

void check_gaps(const Gaps& gaps) {
  MESSAGE(gaps.text);
  CAPTURE(gaps.text);
  CHECK(gaps.mean <= 0.01);
  CHECK(gaps.at_95 <= 0.04);
  CHECK(gaps.worst <= 0.15);
}

TEST_CASE("on models cut from the shipped rules the policy is close to the exact optimum") {
  check_gaps(gaps_of(testing::single_fault_cut, kSingles));
}

TEST_CASE("with two faults at once the policy is close to the exact optimum") {
  check_gaps(gaps_of(testing::two_fault_cut, kPairs));
}

TEST_CASE("the bound of the exact optimum changes nothing") {
  const auto same = [](DecisionModel model, std::size_t checks) {
    model.checks.resize(checks);
    const std::vector<Setup>& setups = testing::shipped_rules().setups;
    CHECK(ExactOptimum(model, setups).minutes() ==
          doctest::Approx(ExactOptimum(model, setups, Bounds::none).minutes()).epsilon(1e-11));
  };
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    CAPTURE(seed);
    same(testing::single_fault_cut(seed), seed % 4 == 0 ? 4 : 3);
    if (seed <= 6) same(testing::two_fault_cut(seed), 2);
  }
}

// Two causes A and B, each with its repair, one check that tells them apart with certainty.
struct Perfect {
  const char* name;
  double a;                   // P(A); B has the rest
  double repair_a, repair_b;  // minutes
  double handing_on;
  double check, setup;
  double optimum;
  Choice::Kind first;
};

DecisionModel model_of(const Perfect& row, const std::vector<Setup>& setups) {
  DecisionModel out;
  out.hypotheses = {{0, -1}, {1, -1}};
  out.mass = {row.a, 1.0 - row.a};
  out.checks = {{0, row.check, 0, {{1.0, 0.0}, {0.0, 1.0}}}};
  out.repairs = {{{0}, row.repair_a, {kFixed, 1}}, {{1}, row.repair_b, {0, kFixed}}};
  out.handing_on = {row.handing_on, row.handing_on};
  out.set_ups = SetUps(setups);
  return out;
}

TEST_CASE("two causes and one perfect check: worked by hand") {
  const Perfect rows[] = {
      // check first: 5 + 0.5*20 + 0.5*30 = 30; A then B: 20 + 0.5*30 = 35
      {"a cheap check", 0.5, 20, 30, 200, 5, 0, 30.0, Choice::Kind::check},
      // check first: 5 + 6 + 25 = 36; A then B: 35
      {"its set-up is too long", 0.5, 20, 30, 200, 5, 6, 35.0, Choice::Kind::repair},
      // check first: 5 + 0.9*20 + 0.1*30 = 26; A then B: 20 + 0.1*30 = 23
      {"nearly sure already", 0.9, 20, 30, 200, 5, 0, 23.0, Choice::Kind::repair},
      // check first: 5 + 0.5*20 + 0.5*40 = 35; A then handed on: 20 + 0.5*40 = 40; at once: 40
      {"one repair dearer than handing on", 0.5, 20, 90, 40, 5, 0, 35.0, Choice::Kind::check},
      // check first: 4 + 0.5*20 + 0.5*15 = 21.5; A then handed on: 20 + 7.5; at once: 15
      {"handing on is cheapest", 0.5, 20, 20, 15, 4, 0, 15.0, Choice::Kind::hand_on},
      // A, found not cured, needs no check: 20 + 0.2*90 = 38; check first: 1 + 16 + 18 = 35
      {"the dear one is seldom", 0.8, 20, 90, 500, 1, 0, 35.0, Choice::Kind::check},
  };
  for (const Perfect& row : rows) {
    CAPTURE(row.name);
    const std::vector<Setup> setups = {{"ready", "", row.setup, -1, false}};
    const DecisionModel model = model_of(row, setups);
    for (const Bounds bounds : {Bounds::none, Bounds::admissible}) {
      ExactOptimum exact(model, setups, bounds);
      CHECK(exact.minutes() == doctest::Approx(row.optimum));
      CHECK(exact.first(outlook_of(model)).kind == row.first);
    }
    CHECK(policy_minutes(model, setups).minutes == doctest::Approx(row.optimum));
    const Choice choice = choices_at(model, outlook_of(model)).front();
    CHECK(choice.kind == row.first);
    CHECK(choice.minutes == doctest::Approx(row.optimum));
  }
}

TEST_CASE("two faults at once: worked by hand") {
  // A alone 0.5, both 0.5; curing A leaves B. A 10, B 10, both at once 16; handing on 100.
  DecisionModel model;
  model.hypotheses = {{0, -1}, {1, -1}, {0, 1}};
  model.mass = {0.5, 0.0, 0.5};
  model.repairs = {
      {{0}, 10, {kFixed, 1, 1}}, {{1}, 10, {0, kFixed, 0}}, {{0, 1}, 16, {kFixed, kFixed, kFixed}}};
  model.handing_on = {100, 100, 100};
  // A then B: 10 + 0.5*10 = 15; both at once: 16.
  ExactOptimum exact(model, {});
  CHECK(exact.minutes() == doctest::Approx(15.0));
  CHECK(exact.first(outlook_of(model)).index == 0);
  CHECK(policy_minutes(model, {}).minutes == doctest::Approx(15.0));
  // Both are nearly certain: 10 + 0.9*10 = 19 against 16.
  model.mass = {0.1, 0.0, 0.9};
  ExactOptimum again(model, {});
  CHECK(again.minutes() == doctest::Approx(16.0));
  CHECK(policy_minutes(model, {}).minutes == doctest::Approx(16.0));
}

TEST_CASE("what is held counts: two checks that share a set-up are worked by hand") {
  // Three causes; each check tells one of them from the others. Minutes 2 and 2 after 6 to set up.
  const std::vector<Setup> setups = {{"raised", "", 4, -1, false}, {"open", "", 2, 0, false}};
  DecisionModel model;
  model.hypotheses = {{0, -1}, {1, -1}, {2, -1}};
  model.mass = {0.4, 0.3, 0.3};
  model.checks = {{0, 2, 1, {{1, 0, 0}, {0, 1, 1}}}, {1, 2, 1, {{0, 1, 0}, {1, 0, 1}}}};
  model.repairs = {{{0}, 60, {kFixed, 1, 2}}, {{1}, 60, {0, kFixed, 2}}, {{2}, 60, {0, 1, kFixed}}};
  model.handing_on = {500, 500, 500};
  model.set_ups = SetUps(setups);
  // First check 2 + 6, second 2 for the 0.6 that are left, then the right repair: 8 + 1.2 + 60.
  CHECK(ExactOptimum(model, setups).minutes() == doctest::Approx(69.2));
  CHECK(policy_minutes(model, setups).minutes == doctest::Approx(69.2));
  model.held = model.set_ups.with({}, 0);
  CHECK(ExactOptimum(model, setups).minutes() == doctest::Approx(65.2));
  CHECK(policy_minutes(model, setups).minutes == doctest::Approx(65.2));
}

}  // namespace
}  // namespace perrev
