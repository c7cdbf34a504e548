// Critical speed of driveshafts: worked examples, the beam's own equation, refusals, coverage.
#include "engine/shopmath/shaft_speed.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

constexpr double kInch = 0.0254;

ShaftTube usual_tube() { return {60.0 * kInch, 3.5 * kInch, 0.083 * kInch}; }

}  // namespace

TEST_CASE("a tube's critical speed is what shaft tables say") {
  struct Row {
    double length, diameter, wall;  // m
    double rpm;                     // E = 206.8 GPa, 7850 kg/m3
    double textbook;                // with 4.705e6 sqrt(D2 + d2) / L2, inches, as textbooks print
  };
  // Textbooks of driveshaft design: 4.705e6 sqrt(D2 + d2) / L2 in inches and rpm; the first column
  // is the same beam with the elasticity and density above.
  const Row rows[] = {
      {60.0 * kInch, 3.5 * kInch, 0.083 * kInch, 6393.0, 6317.0},
      {55.0 * kInch, 3.0 * kInch, 0.065 * kInch, 6535.0, 6457.0},
      {1.5, 0.0762, 0.00165, 5668.0, 5601.0},
  };
  for (const Row& row : rows) {
    CAPTURE(row.rpm);
    const auto hz = critical_speed(ShaftTube{row.length, row.diameter, row.wall});
    REQUIRE(hz.ok());
    CHECK(std::abs(60.0 * *hz - row.rpm) < 1.0);
    CHECK(60.0 * *hz == doctest::Approx(row.textbook).epsilon(0.015));
  }
}

TEST_CASE("critical speed is the first root of the beam between simple supports") {
  // (pi / 2) sqrt(E I / (m' L^4)) with I and m' of the ring itself: any textbook of vibration.
  for (const TubeMaterial& of : {kSteelTube, kAluminiumTube})
    for (const double wall : {0.0016, 0.004, 0.03}) {
      const ShaftTube tube{1.3, 0.06, wall, of.elasticity, of.density};
      const double inner = 0.06 - 2.0 * wall;
      const double inertia = std::numbers::pi / 64.0 * (std::pow(0.06, 4) - std::pow(inner, 4));
      const double mass = of.density * std::numbers::pi / 4.0 * (0.06 * 0.06 - inner * inner);
      const double expected =
          0.5 * std::numbers::pi * std::sqrt(of.elasticity * inertia / (mass * std::pow(1.3, 4)));
      CHECK(*critical_speed(tube) == doctest::Approx(expected).epsilon(1e-12));
    }
}

TEST_CASE("steel and aluminium of one size whip at nearly one speed") {
  // sqrt(E / rho) of both is within 2 %: handbooks of materials. A longer span is what costs.
  ShaftTube tube = usual_tube();
  const double steel = *critical_speed(tube);
  tube.elasticity = kAluminiumTube.elasticity;
  tube.density = kAluminiumTube.density;
  CHECK(*critical_speed(tube) == doctest::Approx(steel).epsilon(0.02));
  tube.length *= 2.0;
  CHECK(4.0 * *critical_speed(tube) == doctest::Approx(steel).epsilon(0.02));
}

TEST_CASE("numbers that are no driveshaft's are refused in words") {
  struct Row {
    const char* what;
    double length, diameter, wall, elasticity, density;
  };
  const double none = std::numeric_limits<double>::quiet_NaN();
  const Row rows[] = {
      {"thicker than half", 1.5, 0.08, 0.041, 2e11, 7850.0},
      {"thick or thin", 1.5, 0.003, 0.001, 2e11, 7850.0},
      {"thick or thin", 1.5, none, 0.001, 2e11, 7850.0},
      {"no thickness", 1.5, 0.08, 0.0, 2e11, 7850.0},
      {"no thickness", 1.5, 0.08, none, 2e11, 7850.0},
      {"long or short", 60.0, 0.08, 0.002, 2e11, 7850.0},
      {"long or short", -1.5, 0.08, 0.002, 2e11, 7850.0},
      {"too short", 0.3, 0.08, 0.002, 2e11, 7850.0},
      {"stiff or soft", 1.5, 0.08, 0.002, 206.8, 7850.0},
      {"heavy or light", 1.5, 0.08, 0.002, 2e11, 7.85},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const ShaftTube tube{row.length, row.diameter, row.wall, row.elasticity, row.density};
    const auto refused = critical_speed(tube);
    REQUIRE(!refused.ok());
    CHECK(refused.error().what.find(row.what) != std::string::npos);
    CHECK(!refused.error().right.empty());
    CHECK(!shaft_speed(tube, {0.001, 0.001}).ok());
  }
  CHECK(critical_speed(ShaftTube{1.5, 0.08, 0.04}).ok());  // solid
  CHECK(!shaft_speed(usual_tube(), {0.0, 0.3}).ok());
}

TEST_CASE("the safe speed is three quarters, and the share is of the critical speed") {
  const auto speed = shaft_speed(usual_tube(), {0.001, 0.002});
  REQUIRE(speed.ok());
  CHECK(speed->safe.value == doctest::Approx(0.75 * speed->critical.value).epsilon(1e-12));
  CHECK(speed->share_at(speed->safe.value).value == doctest::Approx(0.75).epsilon(1e-12));
  const Interval share = speed->share_at(70.0);
  CHECK(share.low < share.value);
  CHECK(share.value < share.high);
  CHECK(share.high * speed->critical.low == doctest::Approx(70.0).epsilon(1e-12));
}

TEST_CASE("a length read with a tape holds the true critical speed in 95 %") {
  testing::Trials random(23);
  testing::Coverage critical, share;
  for (int i = 0; i < testing::kTrials; ++i) {
    ShaftTube tube{random.even(1.0, 1.9), random.even(0.05, 0.11), random.even(0.0015, 0.004)};
    const double truth = *critical_speed(tube);
    const double shaft_hz = random.even(20.0, 90.0);
    const Gauge tape{0.001, random.even(0.001, 0.02)};
    tube.length += random.normal(tape.sd());
    const auto said = shaft_speed(tube, tape);
    REQUIRE(said.ok());
    critical.add(said->critical, truth);
    share.add(said->share_at(shaft_hz), shaft_hz / truth);
  }
  testing::check_holds(critical);
  testing::check_holds(share);
}
