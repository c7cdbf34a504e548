// How two wheels of nearly one size swell and fade, and what difference is behind it.
#include "engine/vehicle/beating.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/engine/reasoning/lcg.h"

using namespace perrev;
using perrev::testing::Lcg;

namespace {

Tire tire(const std::string& size) { return parse_tire(size).value(); }

TireState state(double tread_mm, double pressure_kpa = 0.0) {
  TireState out;
  if (tread_mm > 0.0) out.tread_depth = tread_mm / 1000.0;
  if (pressure_kpa > 0.0) out.pressure = pressure_kpa * 1000.0;
  return out;
}

}  // namespace

TEST_CASE("periods of two wheels worked by hand") {
  struct Row {
    double hz, relative, period, within;
    const char* source;
  };
  const Row rows[] = {
      {14.413, 0.005, 13.9, 0.05, "recomputed: 1 / (14.413 x 0.005) = 13.88 s"},
      {13.0, 0.01, 7.7, 0.05, "recomputed: 1 / 0.13 = 7.69 s"},
      {14.413, difference_by_tread(0.001, 0.632), 22.0, 0.1,
       "recomputed: 2 x 1 mm on 632 mm is 0.316 %"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.source);
    CHECK(std::abs(beat_period(row.hz, row.hz * (1.0 + row.relative)) - row.period) <= row.within);
  }
  CHECK(difference_by_tread(0.001, 0.632) == doctest::Approx(0.00316).epsilon(0.002));
  CHECK(std::isinf(beat_period(13.0, 13.0)));
}

TEST_CASE("a swelling is the same from either side, and its period the inverse of it") {
  Lcg random(3);
  for (int i = 0; i < 500; ++i) {
    const double a = random.real(1.0, 100.0), b = random.real(1.0, 100.0);
    REQUIRE(beat_hz(a, b) == beat_hz(b, a));
    REQUIRE(beat_hz(a, b) * beat_period(a, b) == doctest::Approx(1.0).epsilon(1e-12));
  }
}

// The tone pair itself: the envelope of two sines falls to nothing once a period.
TEST_CASE("two sines cancel half a period after they agree") {
  const double one = 14.0, other = 14.07, pi = std::acos(-1.0);
  const double half = 0.5 * beat_period(one, other);
  for (double t = 0.0; t < 0.2; t += 0.01) {
    const auto sum = [&](double at) {
      return std::cos(2.0 * pi * one * at) + std::cos(2.0 * pi * other * at);
    };
    CHECK(std::abs(sum(half + t)) < 2.0 * std::abs(std::sin(pi * (other - one) * t)) + 1e-9);
  }
}

TEST_CASE("what makes one wheel larger than the other") {
  const Tire radial = tire("205/55R16"), bias = tire("6.00-16");
  const auto of = [](const Tire& t, const TireState& a, const TireState& b) {
    return circumference_difference(t, a, t, b);
  };
  // A radial's belt gives way to 0.6 of the wear, a bias tire to 0.9: from memory
  // (tire_rolling.cpp).
  const double millimetre = difference_by_tread(0.001, radial.outer_diameter);
  CHECK(of(radial, state(6.0), state(5.0)).mean == doctest::Approx(0.6 * millimetre).epsilon(0.01));
  CHECK(of(bias, state(6.0), state(5.0)).mean ==
        doctest::Approx(0.9 * difference_by_tread(0.001, bias.outer_diameter)).epsilon(0.01));
  // A tire 20 % low rolls about 0.4 % shorter: from memory (tire_rolling.cpp).
  CHECK(of(radial, state(0.0, 250.0), state(0.0, 200.0)).mean ==
        doctest::Approx(0.004).epsilon(0.01));
  // Another size: by its circumference.
  const Tire larger = tire("215/55R16");
  CHECK(circumference_difference(larger, {}, radial, {}).mean ==
        doctest::Approx(2.0 * (larger.outer_diameter - radial.outer_diameter) /
                        (larger.outer_diameter + radial.outer_diameter))
            .epsilon(1e-9));
}

TEST_CASE(
    "the difference of two wheels turns its sign with them, and what is not known of both "
    "says nothing") {
  Lcg random(5);
  const Tire one = tire("225/60R16"), other = tire("225/55R16");
  for (int i = 0; i < 200; ++i) {
    const TireState a = state(random.real(1.6, 12.0), random.real(150.0, 300.0)),
                    b = state(random.real(1.6, 12.0), random.real(150.0, 300.0));
    const Tire& second = random.between(0, 1) == 0 ? one : other;
    const Estimate there = circumference_difference(one, a, second, b),
                   back = circumference_difference(second, b, one, a);
    REQUIRE(there.mean == doctest::Approx(-back.mean).epsilon(1e-9));
    REQUIRE(there.sd == doctest::Approx(back.sd).epsilon(1e-9));
    REQUIRE(there.sd > 0.0);
  }
  CHECK(circumference_difference(one, state(8.0), one, {}).mean == 0.0);
  CHECK_FALSE(can_be_compared(one, state(8.0), one, state(0.0, 220.0)));
  CHECK(can_be_compared(one, state(8.0), one, state(7.0)));
  CHECK(can_be_compared(one, {}, other, {}));
  // The more is known, the sharper.
  CHECK(circumference_difference(one, state(8.0, 230.0), one, state(8.0, 230.0)).sd <
        circumference_difference(one, {}, one, {}).sd);
}

TEST_CASE("back from a counted period to the difference, and forth again") {
  Lcg random(7);
  for (int i = 0; i < 200; ++i) {
    const Tire wheel = tire(random.between(0, 1) == 0 ? "205/55R16" : "LT245/75R16");
    const double speed = random.real(10.0, 40.0), period = random.real(2.0, 60.0);
    const BehindBeat behind = behind_beat(period, speed, wheel);
    const double hz = speed / wheel.rolling_circumference;
    const double other = speed / (wheel.rolling_circumference + behind.circumference);
    REQUIRE(beat_period(hz, other) ==
            doctest::Approx(period).epsilon(1.1 * behind.relative));  // relative to one, not both
    REQUIRE(difference_by_tread(behind.tread_depth, wheel.outer_diameter) ==
            doctest::Approx(behind.relative).epsilon(1e-12));
    TireState worn, fresh;
    fresh.tread_depth = 0.020;
    worn.tread_depth = 0.020 - behind.tread_depth_belt;
    if (*worn.tread_depth <= 0.0) continue;
    REQUIRE(circumference_difference(wheel, fresh, wheel, worn).mean ==
            doctest::Approx(behind.relative).epsilon(1e-6));
  }
  // 1 mm on 632 mm is 0.316 %: 22 s at 100 km/h; 1 mm is 1.26 of 1/32 in.
  const BehindBeat behind = behind_beat(22.0, 100.0 / 3.6, tire("205/55R16"));
  CHECK(behind.tread_depth == doctest::Approx(0.001).epsilon(0.01));
  CHECK(behind.tread_depth / kThirtySecond == doctest::Approx(1.26).epsilon(0.01));
}
