// Static and couple from two planes and back: published formulas, statics of forces, random trials.
#include "engine/shopmath/two_planes.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/estimates.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::exact;

namespace {

Unbalance unbalance(Vector one, double at, Vector other, double other_at) {
  auto out = Unbalance::in_planes(exact(one), at, exact(other), other_at);
  REQUIRE(out.ok());
  return *out;
}

}  // namespace

TEST_CASE("static and couple of two planes") {
  // S = U1 + U2, couple about the middle (U2 - U1) b / 2: ISO 21940-2 terms, any handbook of
  // two-plane balancing; numbers of the example by hand. g mm and g mm2.
  const double gmm = 1e-6, gmm2 = 1e-9;
  const Unbalance of = unbalance(vector_at(2000 * gmm, 20 * kDegree), -0.090,
                                 vector_at(1500 * gmm, 250 * kDegree), 0.090);
  CHECK(std::abs(std::abs(of.static_part().value) / gmm - 1547.0) < 0.05);
  CHECK(std::abs(angle_of(of.static_part().value) / kDegree - 332.03) < 0.005);
  CHECK(std::abs(std::abs(of.couple(0.0).value) / gmm2 - 286120) < 5.0);
  CHECK(std::abs(angle_of(of.couple(0.0).value) / kDegree - 221.19) < 0.005);
  // Back: U2 = S / 2 + C / b, U1 = S / 2 - C / b.
  const auto back = of.moments_at(-0.090, 0.090);
  REQUIRE(back.ok());
  const Vector half = of.static_part().value / 2.0, part = of.couple(0.0).value / 0.180;
  CHECK(std::abs(back->first.value - (half - part)) < 1e-15);
  CHECK(std::abs(back->second.value - (half + part)) < 1e-15);
}

TEST_CASE("an ounce inch is 720 gram millimetres") {
  // 28.3495 g times 25.4 mm: units, exact by definition.
  const auto moment = moment_of({0.028349523125, 0.0}, 0.0254, Gauge{});
  REQUIRE(moment.ok());
  CHECK(std::abs(moment->value.real() * 1e6 - 720.08) < 0.005);
}

TEST_CASE("the same forces and moments, whatever planes and places they are told in") {
  testing::Trials random(3);
  for (int i = 0; i < 300; ++i) {
    const auto vector = [&] { return Vector(random.even(-1.0, 1.0), random.even(-1.0, 1.0)); };
    const double at = random.even(-0.2, 0.0), other = random.even(0.05, 0.3);
    const Vector one = vector(), two = vector();
    const Unbalance of = unbalance(one, at, two, other);
    const double to = random.even(-0.5, 0.0), to_other = random.even(0.1, 0.6);
    const auto moved = of.moments_at(to, to_other);
    REQUIRE(moved.ok());
    // Statics: both sets have one force and one moment about any place.
    for (const double about : {-1.0, 0.0, 0.4}) {
      CHECK(std::abs(one + two - moved->first.value - moved->second.value) < 1e-12);
      CHECK(std::abs(one * (at - about) + two * (other - about) -
                     moved->first.value * (to - about) - moved->second.value * (to_other - about)) <
            1e-12);
      CHECK(std::abs(of.couple(about).value - one * (at - about) - two * (other - about)) < 1e-12);
    }
    // Planes named in the other order read the same.
    const auto swapped = of.moments_at(to_other, to);
    CHECK(std::abs(swapped->first.value - moved->second.value) < 1e-12);
    // What cancels both planes leaves nothing, seen from anywhere.
    const Unbalance none = of.with(-moved->first.value, to).with(-moved->second.value, to_other);
    CHECK(std::abs(none.static_part().value) < 1e-12);
    CHECK(std::abs(none.couple(random.even(-1.0, 1.0)).value) < 1e-12);
  }
}

TEST_CASE("static, couple and other planes hold what is true in 95 %, sd known") {
  testing::Trials random(5);
  testing::Coverage static_x, static_y, couple_x, couple_y, inner_x, inner_y, outer_x, outer_y;
  const double sd = 0.001, radius = 0.19, outer_radius = 0.21;
  for (int i = 0; i < testing::kTrials; ++i) {
    const Vector one(random.even(-0.06, 0.06), random.even(-0.06, 0.06));
    const Vector two(random.even(-0.06, 0.06), random.even(-0.06, 0.06));
    const auto read = [&](Vector truth, double arm) {
      const Vector seen = truth + Vector(random.normal(sd), random.normal(sd));
      return *moment_of({std::abs(seen), std::arg(seen)}, arm, {0.0, sd});
    };
    const auto of = Unbalance::in_planes(read(one, radius), -0.1, read(two, outer_radius), 0.08);
    const Vector first = one * radius, second = two * outer_radius;
    const auto hold = [](testing::Coverage& x, testing::Coverage& y, const VectorEstimate& said,
                         Vector truth) {
      x.add(said.x(), truth.real());
      y.add(said.y(), truth.imag());
    };
    hold(static_x, static_y, of->static_part(), first + second);
    hold(couple_x, couple_y, of->couple(-0.01), first * -0.09 + second * 0.09);
    // Correction planes at -0.1 and 0.02: solved by hand from force and moment.
    const auto moved = of->moments_at(-0.1, 0.02);
    hold(inner_x, inner_y, moved->first, first - second * 0.06 / 0.12);
    hold(outer_x, outer_y, moved->second, second * 0.18 / 0.12);
  }
  for (const auto* of :
       {&static_x, &static_y, &couple_x, &couple_y, &inner_x, &inner_y, &outer_x, &outer_y})
    testing::check_holds(*of);
}

TEST_CASE("repeated spins tell their own scatter") {
  testing::Trials random(6);
  testing::Coverage x, y;
  for (int i = 0; i < testing::kTrials; ++i) {
    const Vector truth(random.even(-0.05, 0.05), random.even(-0.05, 0.05));
    std::vector<MassReading> spins;
    for (int k = 0; k < 3; ++k) {
      const Vector seen = truth + Vector(random.normal(0.001), random.normal(0.001));
      spins.push_back({std::abs(seen), std::arg(seen)});
    }
    const auto mean = moment_of(spins, 0.2);
    x.add(mean->x(), truth.real() * 0.2);
    y.add(mean->y(), truth.imag() * 0.2);
  }
  testing::check_holds(x);
  testing::check_holds(y);
}

TEST_CASE("impossible readings of a balancer are refused") {
  CHECK(!moment_of({0.01, 0.0}, 0.003, Gauge{}).ok());
  CHECK(!moment_of({0.01, 0.0}, 2.0, Gauge{}).ok());
  CHECK(!moment_of({-0.01, 0.0}, 0.2, Gauge{}).ok());
  CHECK(!moment_of({0.01, 0.0}, std::nan(""), Gauge{}).ok());
  CHECK(!moment_of(std::vector<MassReading>{{0.01, 0.0}}, 0.2).ok());
  CHECK(!moment_of(std::vector<MassReading>{{0.01, 0.0}, {-0.01, 0.0}}, 0.2).ok());
  CHECK(!Unbalance::in_planes(exact(1.0), 0.1, exact(1.0), 0.1).ok());
  CHECK(!unbalance(1.0, 0.0, 1.0, 0.1).moments_at(0.05, 0.055).ok());
}
