// Weights of real sizes: sums of the trade, searches beside exhaustive ones, what cannot be done.
#include "engine/shopmath/weights.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/estimates.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::exact;

namespace {

Unbalance wheel(testing::Trials& random, double most) {
  const auto moment = [&] {
    return exact(vector_at(random.even(0.0, most), random.even(0.0, 6.28)));
  };
  return *Unbalance::in_planes(moment(), -0.09, moment(), 0.09);
}

double cost(const Unbalance& left, const BalanceLimits& limits) {
  return std::norm(left.static_part().value) / std::pow(limits.static_moment, 2) +
         std::norm(left.couple(limits.about).value) / std::pow(limits.couple, 2);
}

bool static_passes(const Unbalance& left, const BalanceLimits& limits) {
  return std::abs(left.static_part().value) <= limits.static_moment * (1.0 + 1e-9);
}

bool passes(const Unbalance& left, const BalanceLimits& limits) {
  return static_passes(left, limits) &&
         std::abs(left.couple(limits.about).value) <= limits.couple * (1.0 + 1e-9);
}

// Sizes of the trade: quarter ounces clipped on, 5 g segments stuck on.
std::vector<double> clip_on_sizes() { return sizes_of(0.25 * kOunce); }
std::vector<double> adhesive_sizes() { return sizes_of(0.005); }

// 7 g at the rim flange, static; twice that in each plane, couple.
const BalanceLimits kWheelLimits{0.0071 * 0.19, 0.0142 * 0.19 * 0.18, 0.0};

}  // namespace

TEST_CASE("sizes of the trade") {
  // Eight quarter-ounce segments are two ounces: common practice.
  CHECK(segments_in(2.0 * kOunce, 0.25 * kOunce) == 8);
  CHECK(clip_on_sizes()[7] == doctest::Approx(2.0 * kOunce).epsilon(1e-12));
  CHECK(clip_on_sizes().back() <= kMostWeight);
  CHECK(adhesive_sizes().size() == 16);
  CHECK(adhesive_sizes().front() == doctest::Approx(0.005));
  CHECK(adhesive_sizes().back() == doctest::Approx(0.080));
}

TEST_CASE("any mass at any place leaves nothing, in any two planes") {
  testing::Trials random(1);
  for (int i = 0; i < 200; ++i) {
    const Unbalance of = wheel(random, 0.01);
    const std::vector<CorrectionPlane> planes{{{random.even(-0.1, -0.05), 0.2}, {}, 0.0},
                                              {{random.even(0.0, 0.1), 0.15}, {}, 0.0}};
    const auto plan = plan_weights(of, planes, kWheelLimits);
    REQUIRE(plan.ok());
    CHECK(passes(plan->left, kWheelLimits));
    CHECK(std::abs(plan->left.static_part().value) < 1e-12);
    CHECK(std::abs(plan->left.couple(0.0).value) < 1e-12);
  }
}

TEST_CASE("real sizes and places leave the least of all that there are") {
  testing::Trials random(2);
  int better = 0;
  for (int i = 0; i < 60; ++i) {
    const Unbalance of = wheel(random, 0.008);
    // Inner flange, and behind the spokes: planes that act on one another.
    const std::vector<CorrectionPlane> planes{{{-0.09, 0.19}, clip_on_sizes(), kTurn / 36.0},
                                              {{0.03, 0.17}, adhesive_sizes(), kTurn / 36.0}};
    const auto plan = plan_weights(of, planes, kWheelLimits);
    REQUIRE(plan.ok());
    // All sizes at all places within 40 degrees of the exact ones, both planes together.
    double least = 1e9;
    const auto exact = of.moments_at(-0.09, 0.03);
    const auto options = [&](std::size_t p, Vector moment) {
      std::vector<Vector> out{0.0};
      const double near = std::round(angle_of(-moment) / planes[p].angle_step);
      for (const double size : planes[p].sizes)
        for (int k = -4; k <= 4; ++k)
          out.push_back(vector_at(size, (near + k) * planes[p].angle_step));
      return out;
    };
    bool any_passes = false;
    for (const Vector one : options(0, exact->first.value))
      for (const Vector two : options(1, exact->second.value)) {
        const Vector s = of.static_part().value + one * 0.19 + two * 0.17;
        const Vector c = of.couple(0.0).value - one * 0.19 * 0.09 + two * 0.17 * 0.03;
        const double s_part = std::abs(s) / kWheelLimits.static_moment;
        const double c_part = std::abs(c) / kWheelLimits.couple;
        const bool passes = s_part <= 1.0 && c_part <= 1.0;
        if (any_passes && !passes) continue;
        if (passes && !any_passes) least = 1e9;
        any_passes = any_passes || passes;
        least = std::fmin(least, s_part * s_part + c_part * c_part);
      }
    CAPTURE(i);
    CHECK(cost(plan->left, kWheelLimits) <= least * (1.0 + 1e-6));
    CHECK(passes(plan->left, kWheelLimits) == any_passes);
    // Each plane rounded for itself.
    const auto naive = [&](std::size_t p, Vector moment) {
      const Vector mass = -moment / planes[p].at.radius;
      const double step = planes[p].sizes.front();
      return vector_at(std::round(std::abs(mass) / step) * step,
                       std::round(angle_of(mass) / planes[p].angle_step) * planes[p].angle_step);
    };
    const Unbalance rounded = of.with(naive(0, exact->first.value) * 0.19, -0.09)
                                  .with(naive(1, exact->second.value) * 0.17, 0.03);
    CHECK(cost(plan->left, kWheelLimits) <= cost(rounded, kWheelLimits) * (1.0 + 1e-9));
    better += cost(plan->left, kWheelLimits) < 0.8 * cost(rounded, kWheelLimits);
  }
  CHECK(better >= 10);
}

TEST_CASE("free places are turned to where real sizes leave least") {
  testing::Trials random(4);
  for (int i = 0; i < 30; ++i) {
    const Unbalance of = wheel(random, 0.008);
    const std::vector<CorrectionPlane> planes{{{-0.09, 0.19}, clip_on_sizes(), 0.0},
                                              {{0.03, 0.17}, adhesive_sizes(), 0.0}};
    const auto plan = plan_weights(of, planes, kWheelLimits);
    REQUIRE(plan.ok());
    // No small turn of either weight leaves less.
    for (const PlacedWeight& weight : plan->weights)
      for (const double turn : {-0.01, 0.01}) {
        const Plane& at = planes[weight.plane].at;
        const Vector change =
            vector_at(weight.mass, weight.angle + turn) - vector_at(weight.mass, weight.angle);
        CHECK(cost(plan->left.with(change * at.radius, at.position), kWheelLimits) >=
              cost(plan->left, kWheelLimits) * (1.0 - 1e-6));
      }
  }
}

TEST_CASE("all weight inside takes the static part and leaves couple: told") {
  // 20 g at one place of the outer flange only.
  const auto of = Unbalance::in_planes(exact(0.0), -0.09, exact(0.020 * 0.19), 0.09);
  const auto plan = plan_weights(*of, {{{-0.09, 0.19}, adhesive_sizes(), 0.0}}, kWheelLimits);
  REQUIRE(plan.ok());
  CHECK(static_passes(plan->left, kWheelLimits));
  CHECK(!passes(plan->left, kWheelLimits));
  // 20 g opposite one another, 180 mm apart: two moments m r, b apart, are a couple m r b.
  CHECK(std::abs(plan->left.couple(0.0).value) / (0.18 * 0.19) ==
        doctest::Approx(0.020).epsilon(1e-9));
  // A plane behind the spokes takes both.
  const auto both = plan_weights(
      *of, {{{-0.09, 0.19}, adhesive_sizes(), 0.0}, {{0.03, 0.17}, adhesive_sizes(), 0.0}},
      kWheelLimits);
  CHECK(passes(both->left, kWheelLimits));
}

TEST_CASE("more than the largest weight is told") {
  const auto of = Unbalance::in_planes(exact(0.150 * 0.19), -0.09, exact(0.0), 0.09);
  const std::vector<CorrectionPlane> planes{{{-0.09, 0.19}, adhesive_sizes(), 0.0},
                                            {{0.09, 0.19}, adhesive_sizes(), 0.0}};
  const auto plan = plan_weights(*of, planes, kWheelLimits);
  REQUIRE(plan.ok());
  CHECK(plan->beyond_sizes);
  CHECK(!passes(plan->left, kWheelLimits));
}

TEST_CASE("a weight split around a spoke pulls as the one did") {
  testing::Trials random(8);
  for (int i = 0; i < 200; ++i) {
    const double angle = random.even(0.0, kTurn);
    const int spokes = 5 + static_cast<int>(random.below(6));
    const auto [first, second] = spokes_beside(angle, spokes, random.even(0.0, kTurn));
    CHECK(std::abs(std::remainder(second - first - kTurn / spokes, kTurn)) < 1e-9);
    const auto split = split_weight(0.03, angle, first, second, adhesive_sizes());
    REQUIRE(split.ok());
    CHECK(split->first >= -1e-12);
    CHECK(split->second >= -1e-12);
    CHECK(std::abs(vector_at(split->first, first) + vector_at(split->second, second) -
                   vector_at(0.03, angle)) < 1e-12);
    CHECK(std::abs(vector_at(split->first_size, first) + vector_at(split->second_size, second) +
                   split->left - vector_at(0.03, angle)) < 1e-12);
    // Two sizes of 5 g steps come within half a step in each.
    CHECK(std::abs(split->left) <= 0.0051);
  }
  // In the middle of 60 degrees: each m / (2 cos 30), closed form.
  const auto even = split_weight(0.030, 0.0, -kTurn / 12.0, kTurn / 12.0, {});
  CHECK(even->first == doctest::Approx(0.030 / std::sqrt(3.0)).epsilon(1e-12));
  CHECK(even->first == doctest::Approx(even->second).epsilon(1e-12));
}

TEST_CASE("weights that cannot be placed are refused") {
  const auto of = Unbalance::in_planes(exact(0.001), -0.09, exact(0.001), 0.09);
  const CorrectionPlane good{{-0.09, 0.19}, adhesive_sizes(), 0.0};
  CHECK(!plan_weights(*of, {}, kWheelLimits).ok());
  CHECK(!plan_weights(*of, {good, good}, kWheelLimits).ok());
  CHECK(!plan_weights(*of, {{{-0.09, 0.003}, {}, 0.0}}, kWheelLimits).ok());
  CHECK(!plan_weights(*of, {{{-0.09, 0.19}, {0.01, 0.005}, 0.0}}, kWheelLimits).ok());
  CHECK(!plan_weights(*of, {good}, {0.0, 1.0, 0.0}).ok());
  CHECK(!split_weight(0.03, 0.5, 1.0, 2.0, {}).ok());
  CHECK(!split_weight(0.03, 0.5, 0.0, std::numbers::pi, {}).ok());
}
