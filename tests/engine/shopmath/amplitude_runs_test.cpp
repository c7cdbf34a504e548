// Runs without phase: the closed forms of the four-run method, two answers of three runs, trials.
#include "engine/shopmath/amplitude_runs.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"
#include "engine/shopmath/hose_clamps.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

constexpr double kThird = kTurn / 3.0;
constexpr double kTrial = 1e-3;  // kg m

double shakes(Vector there, double gain, Vector weight) { return gain * std::abs(there + weight); }

std::vector<AmplitudeRun> runs_of(testing::Trials& random, Vector there, double gain,
                                  const std::vector<Vector>& weights, double sd) {
  std::vector<AmplitudeRun> out;
  for (const Vector& weight : weights)
    out.push_back({weight, shakes(there, gain, weight) + random.normal(sd)});
  return out;
}

const std::vector<Vector> kFourRuns{0.0, vector_at(kTrial, 0.0), vector_at(kTrial, kThird),
                                    vector_at(kTrial, 2.0 * kThird)};

// Unbalance that leaves no run near zero.
Vector well_away(testing::Trials& random, const std::vector<Vector>& weights = kFourRuns) {
  for (;;) {
    const Vector out = vector_at(random.even(0.4, 2.0) * kTrial, random.even(0.0, 6.28));
    double least = 1.0;
    for (const Vector& weight : weights) least = std::min(least, std::abs(out + weight));
    if (least > 0.35 * kTrial) return out;
  }
}

void hold_runs(const std::vector<Vector>& weights, bool known, std::uint64_t seed) {
  testing::Trials random(seed);
  testing::Coverage x, y;
  const double gain = 5000.0, sd = 0.02;  // a fiftieth of the least amplitudes
  for (int i = 0; i < testing::kTrials; ++i) {
    const Vector there = well_away(random, weights);
    const auto said = balance_by_amplitudes(runs_of(random, there, gain, weights, sd),
                                            known ? std::optional(sd) : std::nullopt);
    REQUIRE(said.ok());
    REQUIRE(said->answers.size() == 1);
    x.add(said->answers[0].weight.x(), -there.real());
    y.add(said->answers[0].weight.y(), -there.imag());
  }
  testing::check_holds(x);
  testing::check_holds(y);
}

std::vector<Vector> twice(std::vector<Vector> of) {
  const std::vector<Vector> once = of;
  of.insert(of.end(), once.begin(), once.end());
  return of;
}

}  // namespace

TEST_CASE("four runs at thirds of a turn: the closed form") {
  // Sum of squares over thirds: A1^2 + A2^2 + A3^2 = 3 (A0^2 + t^2), t what the trial weight alone
  // would shake; the weight wanted is the trial weight times A0 / t. Handbooks of field balancing.
  testing::Trials random(1);
  for (int i = 0; i < 200; ++i) {
    const Vector there = well_away(random);
    const auto runs = runs_of(random, there, random.even(100.0, 9000.0), kFourRuns, 0.0);
    const auto said = balance_by_amplitudes(runs, std::nullopt);
    REQUIRE(said.ok());
    REQUIRE(said->answers.size() == 1);
    double squares = 0.0;
    for (std::size_t k = 1; k < 4; ++k) squares += std::pow(runs[k].amplitude, 2) / 3.0;
    const double alone = std::sqrt(squares - std::pow(runs[0].amplitude, 2));
    CHECK(std::abs(said->answers[0].weight.value) ==
          doctest::Approx(kTrial * runs[0].amplitude / alone).epsilon(1e-8));
    CHECK(std::abs(said->answers[0].weight.value + there) < 1e-8 * kTrial);
    CHECK(said->answers[0].misfit < 1e-8 * runs[0].amplitude);
  }
}

TEST_CASE("a trial weight that doubles, and two that shake as they should") {
  // Unbalance of one trial weight at 0: runs A, 2 A, A, A (at 120 degrees two equal vectors add up
  // to one of them): elementary vectors.
  const auto said = balance_by_amplitudes(
      {{kFourRuns[0], 3.0}, {kFourRuns[1], 6.0}, {kFourRuns[2], 3.0}, {kFourRuns[3], 3.0}}, 0.1);
  REQUIRE(said.ok());
  CHECK(std::abs(said->answers[0].weight.value - Vector(-kTrial, 0.0)) < 1e-9 * kTrial);
  CHECK(said->answers[0].gain == doctest::Approx(3.0 / kTrial).epsilon(1e-9));
}

TEST_CASE("three runs fit two answers, both told; any fourth run tells which") {
  testing::Trials random(2);
  const std::vector<std::vector<Vector>> plans{
      {kFourRuns[0], kFourRuns[1], kFourRuns[2]},
      {kFourRuns[0], kFourRuns[1], vector_at(0.7 * kTrial, 2.0)},
      {kFourRuns[0], kFourRuns[1], -kFourRuns[1]},
      {kFourRuns[1], kFourRuns[2], kFourRuns[3]}};
  int two = 0, all = 0;
  for (const auto& plan : plans)
    for (int i = 0; i < 100; ++i) {
      const Vector there = well_away(random);
      const double gain = random.even(100.0, 9000.0);
      const auto runs = runs_of(random, there, gain, plan, 0.0);
      const auto said = balance_by_amplitudes(runs, 1e-4 * gain * kTrial);
      REQUIRE(said.ok());
      CHECK(said->answers.size() <= 2);
      bool found = false;
      for (const AmplitudeAnswer& answer : said->answers) {
        found = found || std::abs(answer.weight.value + there) < 1e-4 * kTrial;
        for (const AmplitudeRun& run : runs)
          CHECK(expected_amplitude(answer, run.weight) ==
                doctest::Approx(run.amplitude).epsilon(1e-5));
      }
      CHECK(found);
      ++all;
      if (said->answers.size() < 2) continue;
      ++two;
      // Trying an answer tells: only the true one stills the shaft.
      int still = 0;
      for (const AmplitudeAnswer& answer : said->answers)
        still += shakes(there, gain, answer.weight.value) < 1e-3 * gain * kTrial;
      CHECK(still == 1);
      CHECK(std::abs(said->answers[0].weight.value) <=
            std::abs(said->answers[1].weight.value) + 1e-9 * kTrial);
    }
  CHECK(two > all * 9 / 10);
}

TEST_CASE("trial weights of any mass at any place settle it") {
  testing::Trials random(3);
  for (int i = 0; i < 200; ++i) {
    const Vector there = well_away(random);
    const std::vector<Vector> weights{0.0, vector_at(kTrial, random.even(0.0, 0.5)),
                                      vector_at(1.4 * kTrial, random.even(1.5, 2.0)),
                                      vector_at(0.8 * kTrial, random.even(3.5, 4.5))};
    const auto said = balance_by_amplitudes(runs_of(random, there, 5000.0, weights, 0.0), 1e-6);
    REQUIRE(said.ok());
    REQUIRE(said->answers.size() == 1);
    CHECK(std::abs(said->answers[0].weight.value + there) < 1e-6 * kTrial);
  }
}

TEST_CASE("four runs hold what is true in 95 %, sd known") { hold_runs(kFourRuns, true, 31); }
TEST_CASE("four runs taken twice hold what is true in 95 %, scatter from the runs") {
  hold_runs(twice(kFourRuns), false, 32);
}
TEST_CASE("a run at each quarter as well holds what is true in 95 %, sd known") {
  hold_runs({0.0, kTrial, {0.0, kTrial}, -kTrial, {0.0, -kTrial}}, true, 33);
}

TEST_CASE("an amplitude near zero leads to the answer too") {
  testing::Trials random(5);
  for (int i = 0; i < 500; ++i) {
    const Vector there = -kFourRuns[1] + vector_at(random.even(0.0, 0.01) * kTrial, 1.0);
    const auto said =
        balance_by_amplitudes(runs_of(random, there, 5000.0, kFourRuns, 0.0), std::nullopt);
    REQUIRE(said.ok());
    CHECK(std::abs(said->answers[0].weight.value + there) < 1e-3 * kTrial);
  }
}

TEST_CASE("amplitudes that cannot be are refused") {
  const auto with = [](double a, double b, double c, double d) {
    return balance_by_amplitudes(
        {{kFourRuns[0], a}, {kFourRuns[1], b}, {kFourRuns[2], c}, {kFourRuns[3], d}}, 0.05);
  };
  CHECK(!with(3.0, -6.0, 3.0, 3.0).ok());
  CHECK(!with(3.0, 3.02, 2.98, 3.0).ok());  // changed nothing
  CHECK(!with(6.0, 1.0, 1.1, 1.2).ok());    // thirds must shake more on the whole, not less
  CHECK(!balance_by_amplitudes({{0.0, 3.0}, {kTrial, 4.0}}, 0.05).ok());
  CHECK(!balance_by_amplitudes({{0.0, 3.0}, {0.0, 3.1}, {0.0, 4.0}}, 0.05).ok());
  CHECK(!balance_by_amplitudes({{0.0, 3.0}, {kTrial, 4.0}, {kTrial, 4.1}}, 0.05).ok());
}

TEST_CASE("two hose clamps turned apart make any moment up to both together") {
  // 2 m r cos(half the angle between): common practice, elementary vectors.
  testing::Trials random(4);
  const double screw = 0.012, radius = 0.045;
  const auto makes = [&](const ClampPlaces& of) {
    return vector_at(screw * radius, of.first) + vector_at(screw * radius, of.second);
  };
  for (int i = 0; i < 200; ++i) {
    const Vector wanted = vector_at(random.even(0.0, 2.0) * screw * radius, random.even(0.0, 6.28));
    const auto places = clamp_places(wanted, screw, radius);
    REQUIRE(places.ok());
    CHECK(places->enough);
    CHECK(std::abs(makes(*places) - wanted) < 1e-12);
  }
  // One screw's moment: a third of a turn apart. Nothing: half a turn.
  const auto one = clamp_places(screw * radius, screw, radius);
  CHECK(std::abs(std::remainder(one->second - one->first - kThird, kTurn)) < 1e-9);
  const auto none = clamp_places(0.0, screw, radius);
  CHECK(std::abs(std::remainder(none->second - none->first, kTurn)) ==
        doctest::Approx(std::numbers::pi));
  const auto more = clamp_places(3.0 * screw * radius, screw, radius);
  CHECK(!more->enough);
  CHECK(std::abs(makes(*more)) == doctest::Approx(2.0 * screw * radius));
  CHECK(!clamp_places(1e-3, screw, 0.003).ok());
  CHECK(!clamp_places(1e-3, -0.01, 0.05).ok());
}
