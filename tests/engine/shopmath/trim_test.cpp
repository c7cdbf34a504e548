// Trimming after a check spin: vectors, the balancer's own response, random trials.
#include "engine/shopmath/trim.h"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "engine/shopmath/two_planes.h"
#include "tests/engine/shopmath/estimates.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::read_as;

TEST_CASE("a balancer taken at its word: what it shows is undone") {
  testing::Trials random(1);
  for (int i = 0; i < 200; ++i) {
    const Vector on(random.even(-0.05, 0.05), random.even(-0.05, 0.05));
    const Vector left(random.even(-0.01, 0.01), random.even(-0.01, 0.01));
    const Trim said = trim(read_as(left, 0.001), on);
    CHECK(std::abs(said.add.value + left) < 1e-15);
    CHECK(std::abs(said.replaced - on + left) < 1e-15);
    CHECK(std::abs(said.moved) == doctest::Approx(std::abs(on)).epsilon(1e-12));
    // Moving leaves the least that a weight of this mass can.
    CHECK(std::abs(left + said.moved - on) == doctest::Approx(said.left_when_moved).epsilon(1e-9));
    for (const double turn : {-0.05, 0.05})
      CHECK(std::abs(left + said.moved * vector_at(1.0, turn) - on) >= said.left_when_moved);
  }
}

TEST_CASE("a balancer that shows the wrong amount and place is found out by the check spin") {
  testing::Trials random(2);
  for (int i = 0; i < 200; ++i) {
    const Vector shown = vector_at(random.even(0.6, 1.5), random.even(-0.8, 0.8));
    const Vector truth(random.even(-0.05, 0.05), random.even(0.02, 0.05));
    const Vector before = shown * truth, put_on = -before;  // as it was told
    const Vector after = shown * (truth + put_on);
    const auto found = response(read_as(before, 1e-9), read_as(after, 1e-9), put_on);
    REQUIRE(found.ok());
    CHECK(std::abs(found->factor.value - shown) < 1e-6);
    CHECK(found->reads_true() == (std::abs(std::abs(shown) - 1.0) <= 0.2 &&
                                  std::abs(std::arg(shown)) <= std::acos(-1.0) / 12.0));
    const auto said = trim_by_response(read_as(before, 1e-9), read_as(after, 1e-9), put_on, put_on);
    REQUIRE(said.ok());
    CHECK(std::abs(truth + said->replaced) < 1e-9);
    CHECK(std::abs(truth + put_on + said->add.value) < 1e-9);
  }
}

TEST_CASE("response and trim hold what is true in 95 %, small scatter") {
  testing::Trials random(3);
  testing::Coverage factor_x, factor_y, add_x, add_y;
  const double sd = 0.0007;
  for (int i = 0; i < testing::kTrials; ++i) {
    const Vector shown = vector_at(random.even(0.7, 1.3), random.even(-0.5, 0.5));
    const Vector truth = vector_at(random.even(0.03, 0.06), random.even(0.0, 6.28));
    const Vector put_on = vector_at(random.even(0.03, 0.06), random.even(0.0, 6.28));
    const auto read = [&](Vector there) {
      return read_as(shown * there + Vector(random.normal(sd), random.normal(sd)), sd);
    };
    const VectorEstimate before = read(truth), after = read(truth + put_on);
    const auto found = response(before, after, put_on);
    const auto said = trim_by_response(before, after, put_on, put_on);
    factor_x.add(found->factor.x(), shown.real());
    factor_y.add(found->factor.y(), shown.imag());
    add_x.add(said->add.x(), -(truth + put_on).real());
    add_y.add(said->add.y(), -(truth + put_on).imag());
  }
  for (const auto* of : {&factor_x, &factor_y, &add_x, &add_y}) testing::check_holds(*of);
}

TEST_CASE("trim holds what is true in 95 %, scatter learned from four spins each") {
  testing::Trials random(4);
  testing::Coverage add_x, add_y;
  for (int i = 0; i < testing::kTrials; ++i) {
    const Vector truth = vector_at(random.even(0.03, 0.06), random.even(0.0, 6.28));
    const Vector put_on = vector_at(random.even(0.03, 0.06), random.even(0.0, 6.28));
    const auto read = [&](Vector there) {
      std::vector<MassReading> spins;
      for (int k = 0; k < 4; ++k) {
        const Vector shown = there + Vector(random.normal(5e-4), random.normal(5e-4));
        spins.push_back({std::abs(shown), std::arg(shown)});
      }
      return *moment_of(spins, 1.0);
    };
    const auto said = trim_by_response(read(truth), read(truth + put_on), put_on, put_on);
    REQUIRE(said.ok());
    add_x.add(said->add.x(), -(truth + put_on).real());
    add_y.add(said->add.y(), -(truth + put_on).imag());
  }
  testing::check_holds(add_x);
  testing::check_holds(add_y);
}

TEST_CASE("a weight that changed nothing tells nothing") {
  CHECK(!response(read_as({0.02, 0.0}, 0.001), read_as({0.02, 0.001}, 0.001), 0.02).ok());
  CHECK(!response(read_as({0.02, 0.0}, 0.001), read_as({0.0, 0.0}, 0.001), 0.0).ok());
  CHECK(!trim_by_response(read_as({0.02, 0.0}, 0.001), read_as({0.02, 0.001}, 0.001), 0.02, 0.02)
             .ok());
  // Within its uncertainty of reading true.
  CHECK(response(read_as({0.002, 0.0}, 0.0005), read_as({0.0, 0.0}, 0.0005), {-0.0015, 0.0})
            ->reads_true());
}
