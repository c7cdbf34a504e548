// Influence coefficients: a textbook's shaft, shafts put together here, random trials.
#include "engine/shopmath/influence.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/least_squares.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

Vector at_degrees(double amount, double degrees) { return vector_at(amount, degrees * kDegree); }

// A shaft made up: readings without weights and what weights do.
struct MadeShaft {
  std::vector<Vector> start;
  std::vector<std::vector<Vector>> influence;  // [reading][plane]

  MadeShaft(testing::Trials& random, std::size_t readings, std::size_t planes) {
    for (std::size_t k = 0; k < readings; ++k) {
      start.push_back(vector_at(random.even(3.0, 8.0), random.even(0.0, 6.28)));
      influence.emplace_back();
      for (std::size_t p = 0; p < planes; ++p)
        influence.back().push_back(
            vector_at(k % planes == p ? random.even(3000.0, 6000.0) : random.even(300.0, 1500.0),
                      random.even(0.0, 6.28)));
    }
  }
  PhaseRun run(testing::Trials& random, const std::vector<Vector>& weights, double sd) const {
    PhaseRun out{weights, {}};
    for (std::size_t k = 0; k < start.size(); ++k) {
      Vector reading = start[k];
      for (std::size_t p = 0; p < weights.size(); ++p) reading += influence[k][p] * weights[p];
      out.readings.push_back(reading + Vector(random.normal(sd), random.normal(sd)));
    }
    return out;
  }
  // The weights of least squares, by real numbers throughout.
  std::vector<Vector> best() const {
    std::vector<std::vector<double>> rows;
    std::vector<double> readings;
    for (std::size_t k = 0; k < start.size(); ++k) {
      std::vector<double> x, y;
      for (const Vector& a : influence[k]) {
        x.insert(x.end(), {a.real(), -a.imag()});
        y.insert(y.end(), {a.imag(), a.real()});
      }
      rows.insert(rows.end(), {x, y});
      readings.insert(readings.end(), {-start[k].real(), -start[k].imag()});
    }
    const auto fit = least_squares(rows, readings);
    REQUIRE(fit.ok());
    std::vector<Vector> out;
    for (std::size_t i = 0; i < fit->values.size(); i += 2)
      out.emplace_back(fit->values[i], fit->values[i + 1]);
    return out;
  }
};

constexpr double kTrialMoment = 1e-3;  // kg m

void hold_shaft(std::size_t readings, std::size_t planes, std::size_t repeats, bool known,
                std::uint64_t seed) {
  testing::Trials random(seed);
  const double sd = 0.02;
  std::vector<testing::Coverage> coverage(2 * planes);
  for (int i = 0; i < testing::kTrials; ++i) {
    const MadeShaft shaft(random, readings, planes);
    std::vector<PhaseRun> runs;
    for (std::size_t again = 0; again < repeats; ++again)
      for (std::size_t p = 0; p <= planes; ++p) {
        std::vector<Vector> weights(planes);
        if (p > 0) weights[p - 1] = vector_at(kTrialMoment, random.even(0.0, 6.28));
        runs.push_back(shaft.run(random, weights, sd));
      }
    const auto said = balance_shaft(runs, known ? std::optional(sd) : std::nullopt);
    REQUIRE(said.ok());
    REQUIRE(said->scatter_known);
    const std::vector<Vector> truth = shaft.best();
    for (std::size_t p = 0; p < planes; ++p) {
      coverage[2 * p].add(said->weights[p].x(), truth[p].real());
      coverage[2 * p + 1].add(said->weights[p].y(), truth[p].imag());
    }
  }
  for (const testing::Coverage& of : coverage) testing::check_holds(of);
}

}  // namespace

TEST_CASE("two planes, two bearings: a textbook's worked example") {
  // S. S. Rao, Mechanical Vibrations, two-plane balancing (from memory): mils at two bearings as
  // they are, with 10 oz at 270 on the left, with 12 oz at 180 on the right. Unbalance: 10.0561 oz
  // at 145.5548 left, 5.8774 oz at 248.2559 right; the weights go opposite.
  const std::vector<PhaseRun> runs{
      {{0.0, 0.0}, {at_degrees(8.5, 60), at_degrees(6.5, 205)}},
      {{at_degrees(10, 270), 0.0}, {at_degrees(6.0, 125), at_degrees(4.5, 230)}},
      {{0.0, at_degrees(12, 180)}, {at_degrees(6.0, 35), at_degrees(10.5, 160)}}};
  const auto said = balance_shaft(runs, std::nullopt);
  REQUIRE(said.ok());
  CHECK(std::abs(said->weights[0].value + at_degrees(10.0561, 145.5548)) < 1e-3);
  CHECK(std::abs(said->weights[1].value + at_degrees(5.8774, 248.2559)) < 1e-3);
  CHECK(!said->scatter_known);
  CHECK(std::abs(said->after[0]) < 1e-9);
  CHECK(std::abs(said->after[1]) < 1e-9);
}

TEST_CASE("exact readings lead to the weights of least squares, whatever is over") {
  testing::Trials random(9);
  for (const std::size_t planes : {1u, 2u})
    for (const std::size_t readings : {planes, planes + 1, planes + 4}) {
      const MadeShaft shaft(random, readings, planes);
      std::vector<PhaseRun> runs{shaft.run(random, std::vector<Vector>(planes), 0.0)};
      for (std::size_t p = 0; p < planes; ++p) {
        std::vector<Vector> weights(planes);
        weights[p] = vector_at(kTrialMoment, 1.0);
        runs.push_back(shaft.run(random, weights, 0.0));
      }
      const auto said = balance_shaft(runs, 0.01);
      REQUIRE(said.ok());
      const std::vector<Vector> truth = shaft.best();
      for (std::size_t p = 0; p < planes; ++p)
        CHECK(std::abs(said->weights[p].value - truth[p]) < 1e-9 * kTrialMoment + 1e-12);
      for (std::size_t k = 0; k < readings; ++k) {
        Vector left = shaft.start[k];
        for (std::size_t p = 0; p < planes; ++p) left += shaft.influence[k][p] * truth[p];
        CHECK(std::abs(said->after[k] - left) < 1e-8);
        for (std::size_t p = 0; p < planes; ++p)
          CHECK(std::abs(said->influence[k][p] - shaft.influence[k][p]) < 1e-6);
      }
    }
}

TEST_CASE("a check run put in as one more run sharpens the answer") {
  testing::Trials random(10);
  const MadeShaft shaft(random, 1, 1);
  std::vector<PhaseRun> runs{shaft.run(random, {0.0}, 0.05),
                             shaft.run(random, {kTrialMoment}, 0.05)};
  const auto first = balance_shaft(runs, 0.05);
  REQUIRE(first.ok());
  runs.push_back(shaft.run(random, {first->weights[0].value}, 0.05));
  const auto second = balance_shaft(runs, 0.05);
  REQUIRE(second.ok());
  CHECK(second->weights[0].xx < first->weights[0].xx);
  CHECK(second->weights[0].yy < first->weights[0].yy);
}

TEST_CASE("one plane, one pickup holds what is true in 95 %, sd known") {
  hold_shaft(1, 1, 1, true, 21);
}
TEST_CASE("one plane over four speeds holds what is true in 95 %, sd known") {
  hold_shaft(4, 1, 1, true, 22);
}
TEST_CASE("two planes, two pickups hold what is true in 95 %, sd known") {
  hold_shaft(2, 2, 1, true, 23);
}
TEST_CASE("two planes over three speeds hold what is true in 95 %, scatter from repeated runs") {
  hold_shaft(6, 2, 2, false, 24);
}
TEST_CASE("one plane, repeated runs hold what is true in 95 %, scatter from the runs") {
  hold_shaft(1, 1, 3, false, 25);
}

TEST_CASE("runs that tell nothing are refused, weak ones told") {
  const Vector v = at_degrees(5.0, 30);
  const auto run = [](Vector weight, Vector reading) { return PhaseRun{{weight}, {reading}}; };
  CHECK(!balance_shaft({}, 0.1).ok());
  CHECK(!balance_shaft({run(0.0, v)}, 0.1).ok());
  CHECK(!balance_shaft({run(0.0, v), run(0.0, v)}, 0.1).ok());
  // The trial weight changed nothing.
  CHECK(!balance_shaft({run(0.0, v), run(1e-3, v + 0.05)}, 0.1).ok());
  CHECK(!balance_shaft({run(0.0, v), run(1e-3, v)}, std::nullopt).ok());
  // Two planes read by one pickup at one speed.
  CHECK(
      !balance_shaft({{{0.0, 0.0}, {v}}, {{1e-3, 0.0}, {2.0 * v}}, {{0.0, 1e-3}, {-v}}}, 0.1).ok());
  // Two planes that do the same to both pickups.
  CHECK(!balance_shaft({{{0.0, 0.0}, {v, v}},
                        {{1e-3, 0.0}, {2.0 * v, 3.0 * v}},
                        {{0.0, 1e-3}, {2.0 * v, 3.0 * v}}},
                       0.1)
             .ok());
  const auto alike = balance_shaft(
      {{{0.0, 0.0}, {v, v}}, {{1e-3, 0.0}, {2.0 * v, 3.0 * v}}, {{0.0, 1e-3}, {2.05 * v, 3.0 * v}}},
      0.01);
  REQUIRE(alike.ok());
  CHECK(alike->planes_alike);
  // 30 % or 30 degrees: common practice.
  const auto weak = balance_shaft({run(0.0, v), run(1e-3, 1.2 * v)}, 0.1);
  REQUIRE(weak.ok());
  CHECK(weak->weak_planes.size() == 1);
  CHECK(balance_shaft({run(0.0, v), run(1e-3, 1.4 * v)}, 0.1)->weak_planes.empty());
  CHECK(balance_shaft({run(0.0, v), run(1e-3, v * at_degrees(1.0, 40))}, 0.1)->weak_planes.empty());
}
