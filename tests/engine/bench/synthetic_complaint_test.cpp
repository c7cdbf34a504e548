// Complaints made up from physics on the shipped rules: the same for the same seed, drawn as the
// tables say, and judged by nobody better than by the best.
#include "engine/bench/synthetic_complaint.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <map>
#include <numeric>
#include <vector>

#include "engine/bench/expectation.h"
#include "engine/bench/synthetic_score.h"
#include "engine/casefile/vehicle_of.h"
#include "engine/providers/felt.h"
#include "engine/providers/orders.h"
#include "tests/engine/bench/shipped_simulator.h"

using namespace perrev;
using perrev::testing::shipped_rules;
using perrev::testing::simulator;

namespace {

// Chi-square less its degrees of freedom, in standard deviations; neighbours are put together until
// each class is expected five times.
double surprise(const std::vector<double>& expected, const std::vector<double>& seen) {
  std::vector<std::array<double, 2>> classes(1, {0.0, 0.0});
  for (std::size_t i = 0; i < expected.size(); ++i) {
    if (classes.back()[0] >= 5.0) classes.push_back({0.0, 0.0});
    classes.back()[0] += expected[i];
    classes.back()[1] += seen[i];
  }
  REQUIRE(classes.size() > 1);
  if (classes.back()[0] < 5.0) {
    const std::array<double, 2> rest = classes.back();
    classes.pop_back();
    for (std::size_t k = 0; k < rest.size(); ++k) classes.back()[k] += rest[k];
  }
  double squares = 0.0;
  for (const auto& [e, s] : classes) squares += (s - e) * (s - e) / e;
  const double freedom = static_cast<double>(classes.size()) - 1.0;
  return (squares - freedom) / std::sqrt(2.0 * freedom);
}

// P(answer | cause, vehicle) by say() itself, with its own levels, over the three roads.
struct Expected {
  std::vector<double> worst, begins, ends, strength, ticked;
};

Expected expected_answers(const PhysicsFault& fault, int body, double wheel_turns) {
  Expected out;
  const AskedSpeeds& asked = simulator().asked(true);
  std::vector<Sayings> ways;
  double total = 0.0;
  const double size_db = 20.0 * std::log10(fault.spread);
  for (const double road : {0.5, 1.0, 2.0}) {
    FeltWays levels(simulator().book(road), body);
    for (const bool front : {true, false}) {
      const double share = (road == 1.0 ? 0.5 : 0.25) * (front ? fault.front : 1.0 - fault.front);
      FeltWay way = levels.of(fault, {share, 1.0, {wheel_turns, 0.0}, front, "tire", ""});
      way.speed_sd = kCircumferenceSd;
      ways.push_back(say(shipped_rules().physics.people, way, size_db, asked));
      total += std::accumulate(ways.back().weight.begin(), ways.back().weight.end(), 0.0);
    }
  }
  out.worst.assign(kNamedSpeeds, 0.0);
  out.begins = out.ends = out.worst;
  out.strength.assign(kStrengths, 0.0);
  out.ticked.assign(kTicks, 0.0);
  for (Sayings& said : ways)
    for (std::size_t n = 0; n < kLevels; ++n) {
      said.weight[n] /= total;
      for (std::size_t k = 0; k < kNamedSpeeds; ++k) {
        out.worst[k] += said.weight[n] * said.worst[k];
        out.begins[k] += said.weight[n] * said.begins[k][n];
        out.ends[k] += said.weight[n] * said.ends[k][n];
      }
      for (std::size_t s = 0; s < kStrengths; ++s)
        out.strength[s] += said.weight[n] * said.strength[s][n];
      for (std::size_t t = 0; t < kTicks; ++t) out.ticked[t] += said.weight[n] * said.ticked[t][n];
    }
  return out;
}

}  // namespace

TEST_CASE("the same seed and number give the same complaint, others another") {
  std::map<std::string, int> texts;
  for (std::uint64_t i = 0; i < 20; ++i) {
    const std::string text = simulator().case_text(simulator().draw(3, i), 3, i);
    CHECK(text == simulator().case_text(simulator().draw(3, i), 3, i));
    ++texts[text];
  }
  CHECK(texts.size() == 20);
  const Simulator again(shipped_rules());
  CHECK(again.case_text(again.draw(3, 7), 3, 7) ==
        simulator().case_text(simulator().draw(3, 7), 3, 7));
}

TEST_CASE("causes come as often as they are usual, on vehicles that can have them") {
  const RuleBase& base = shipped_rules();
  const int count = 4000;
  std::vector<double> expected(base.causes.size(), 0.0), seen(base.causes.size(), 0.0);
  double total = 0.0;
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    if (simulator().can_draw(static_cast<int>(c))) total += expected[c] = base.causes[c].usual;
  for (double& e : expected) e *= count / total;
  for (std::uint64_t i = 0; i < count; ++i) {
    const SyntheticComplaint drawn = simulator().draw(1, i);
    seen[static_cast<std::size_t>(drawn.truth.cause)] += 1.0;
    const auto& needs = base.causes[static_cast<std::size_t>(drawn.truth.cause)].needs;
    for (const auto& [variable, allowed] : needs)
      if (base.facts[static_cast<std::size_t>(
                         base.variables[static_cast<std::size_t>(variable)].fact)]
              .id == "driven_axle")
        CHECK(((allowed >> drawn.truth.vehicle.driven_axle) & 1u) == 1u);
  }
  CHECK(std::abs(surprise(expected, seen)) < 3.5);
}

TEST_CASE("answers of one vehicle come as often as say() has them") {
  const RuleBase& base = shipped_rules();
  const int cause = base.cause_index("static_imbalance");
  const PhysicsFault& fault =
      base.physics
          .faults[static_cast<std::size_t>(base.physics.fault_of[static_cast<std::size_t>(cause)])];
  const auto tire = parse_tire(synthetic_kinds()[0].sizes[1]);
  REQUIRE(tire);
  Expected expected = expected_answers(fault, 0, 1.0 / tire->rolling_circumference);
  Expected seen;
  seen.worst.assign(kNamedSpeeds, 0.0);
  seen.begins = seen.ends = seen.worst;
  seen.strength.assign(kStrengths, 0.0);
  seen.ticked.assign(kTicks, 0.0);
  double worst = 0.0, begins = 0.0, ends = 0.0, strength = 0.0, places = 0.0;
  for (std::uint64_t i = 0; i < 160000; ++i) {
    const SyntheticComplaint drawn = simulator().draw(30, i, cause);
    const SyntheticHeard& heard = drawn.heard;
    if (drawn.truth.vehicle.kind != 0 || drawn.truth.vehicle.size != 1 || !heard.satellite)
      continue;
    const auto count = [](std::vector<double>& into, double& of, int answer) {
      if (answer < 0) return;
      into[static_cast<std::size_t>(answer)] += 1.0;
      of += 1.0;
    };
    count(seen.worst, worst, heard.worst);
    count(seen.begins, begins, heard.begins);
    count(seen.ends, ends, heard.ends);
    count(seen.strength, strength, heard.strength);
    if (!heard.places) continue;
    places += 1.0;
    for (std::size_t t = 0; t < kTicks; ++t)
      if ((*heard.places)[t]) seen.ticked[t] += 1.0;
  }
  REQUIRE(worst > 4000.0);
  const auto times = [](std::vector<double> shares, double of) {
    for (double& share : shares) share *= of;
    return shares;
  };
  CHECK(surprise(times(expected.worst, worst), seen.worst) < 3.5);
  CHECK(surprise(times(expected.begins, begins), seen.begins) < 3.5);
  CHECK(surprise(times(expected.ends, ends), seen.ends) < 3.5);
  CHECK(surprise(times(expected.strength, strength), seen.strength) < 3.5);
  for (std::size_t t = 0; t < kTicks; ++t) {
    const double p = expected.ticked[t];
    CAPTURE(t);
    CHECK(std::abs(seen.ticked[t] - p * places) < 3.5 * std::sqrt(p * (1.0 - p) * places) + 1.0);
  }
}

TEST_CASE("a road test finds as often as the tables have it, and readings lie on the line") {
  const std::vector<SyntheticFind>& finds = synthetic_finds();
  std::vector<std::vector<double>> expected(finds.size()), seen(finds.size());
  double measured = 0.0, on_line = 0.0;
  for (std::size_t f = 0; f < finds.size(); ++f)
    expected[f] = seen[f] = std::vector<double>(finds[f].answers.size(), 0.0);
  const PhysicsBook& book = shipped_rules().physics;
  for (std::uint64_t i = 0; i < 4000; ++i) {
    const SyntheticComplaint drawn = simulator().draw(4, i);
    const SyntheticTruth& truth = drawn.truth;
    const PhysicsFault& fault =
        book.faults[static_cast<std::size_t>(book.fault_of[static_cast<std::size_t>(truth.cause)])];
    const std::size_t behaviour = static_cast<std::size_t>(behaviour_of(fault, truth.source));
    for (std::size_t f = 0; f < finds.size(); ++f) {
      if (drawn.heard.finds[f] < 0) continue;
      seen[f][static_cast<std::size_t>(drawn.heard.finds[f])] += 1.0;
      for (std::size_t a = 0; a < expected[f].size(); ++a)
        expected[f][a] += finds[f].shares[behaviour][a];
    }
    const double line = truth.order * truth.turns_per_metre * truth.worst_speed;
    if (drawn.heard.hz <= 0.0 || line < 2.0 || line > 170.0) continue;
    measured += 1.0;
    on_line += std::abs(drawn.heard.hz / line - 1.0) < 3.0 * kReadingNoise;
  }
  for (std::size_t f = 0; f < finds.size(); ++f) {
    CAPTURE(finds[f].fact);
    CHECK(surprise(expected[f], seen[f]) < 3.5);
  }
  REQUIRE(measured > 1000.0);
  // Nine in ten within three standard deviations, and the odd one by chance.
  CHECK(on_line / measured == doctest::Approx(0.90).epsilon(0.03));
}

TEST_CASE("every complaint is a reference case that reads without a problem") {
  const RuleBase& base = shipped_rules();
  for (std::uint64_t i = 0; i < 200; ++i) {
    CAPTURE(i);
    const SyntheticComplaint drawn = simulator().draw(5, i);
    const auto file = CaseFile::parse("made", simulator().case_text(drawn, 5, i));
    REQUIRE(file);
    const auto facts = facts_of(*file, base);
    REQUIRE(facts);
    REQUIRE(vehicle_of(*file, base, *facts, 0));
    CHECK(!facts->stopped());
    const auto expected = read_expectation(*file, base);
    REQUIRE(expected);
    CHECK(expected->truth == std::vector<int>{drawn.truth.cause});
    CHECK(!file->member("simulated").empty());
  }
}

TEST_CASE("the best is calibrated, and the ranking does not beat it beyond chance") {
  const RuleBase& base = shipped_rules();
  const FeltProvider felt;
  const OrdersProvider orders;
  const Reasoner reasoner(base, {&felt, &orders});
  const int count = 300;
  double said = 0.0, variance = 0.0, right = 0.0, ranked = 0.0, apart = 0.0;
  double line_best = 0.0, line_ranked = 0.0, line_apart = 0.0, true_said = 0.0, squares = 0.0;
  for (std::uint64_t i = 0; i < count; ++i) {
    const SyntheticComplaint drawn = simulator().draw(6, i);
    const IdealJudgement best = simulator().judge(drawn.heard);
    double total = 0.0;
    for (const double p : best.faults) {
      total += p;
      squares += p * p;  // what the true one gets on the average, if it is calibrated
    }
    CHECK(total == doctest::Approx(1.0));
    true_said += best.faults[static_cast<std::size_t>(
        base.physics.fault_of[static_cast<std::size_t>(drawn.truth.cause)])];
    const auto score = score_complaint(simulator(), reasoner, felt, drawn);
    REQUIRE(score);
    said += score->best_first;
    variance += score->best_first * (1.0 - score->best_first);
    right += score->best_cause_place == 1;
    ranked += score->first_of_drawn;
    apart += score->first_of_drawn != (score->best_cause_place == 1);
    line_best += score->best_line_place == 1;
    line_ranked += score->line_place == 1;
    line_apart += (score->line_place == 1) != (score->best_line_place == 1);
  }
  CHECK(std::abs(right - said) < 3.0 * std::sqrt(variance));
  CHECK(std::abs(true_said - squares) < 3.0 * std::sqrt(variance));
  CHECK(ranked <= right + 3.0 * std::sqrt(apart));
  CHECK(line_ranked <= line_best + 3.0 * std::sqrt(line_apart));
  CHECK(right > 0.3 * count);  // against one in sixty by chance
}
