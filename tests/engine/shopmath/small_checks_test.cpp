// Nuts, pressures, dates, tread and bearing play: worked examples, refusals, coverage.
#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "engine/shopmath/nut_torque.h"
#include "engine/shopmath/tire_date.h"
#include "engine/shopmath/tire_pressure.h"
#include "engine/shopmath/wear_and_play.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

TEST_CASE("nuts are sorted by their share of the stated torque") {
  const auto nuts = wheel_nuts({120.0, 110.0, 90.0, 40.0, 0.0, 170.0}, 120.0);
  REQUIRE(nuts.ok());
  CHECK(nuts->states == std::vector<NutState>{NutState::sound, NutState::sound, NutState::low,
                                              NutState::loose, NutState::missing,
                                              NutState::too_tight});
  CHECK(nuts->below[2].value == doctest::Approx(0.25));
  // ISO 6789-1: a setting or indicating wrench above 10 N m may read 4 % wrong.
  CHECK(nuts->below[2].high - nuts->below[2].value == doctest::Approx(0.03));
  CHECK(nuts->below[5].value < 0.0);
  CHECK(nuts->spread.value == doctest::Approx(170.0 / 120.0));
  CHECK(nuts->count_of(NutState::loose) == 1);
}

TEST_CASE("nuts of no wheel are refused") {
  CHECK(!wheel_nuts({100.0, 100.0}, 100.0).ok());
  CHECK(!wheel_nuts(std::vector<double>(20, 100.0), 100.0).ok());
  CHECK(!wheel_nuts({100.0, 100.0, -5.0, 100.0}, 100.0).ok());
  CHECK(!wheel_nuts({100.0, 100.0, 1000.0, 100.0}, 100.0).ok());
  CHECK(!wheel_nuts({100.0, 100.0, 100.0, 100.0}, 5.0).ok());
}

TEST_CASE("a warm tire's pressure comes down by the gas law") {
  // 1 % of the absolute pressure for 3 K at 300 K: p / T is constant, any textbook of physics.
  CHECK(pressure_at(220e3, 303.0, 300.0) + kAtmosphere ==
        doctest::Approx((220e3 + kAtmosphere) * 300.0 / 303.0).epsilon(1e-12));
  TirePressureReading reading{250e3, 220e3, {2e3, std::nullopt}, WarmTire{}};
  reading.warm->tire = kFreezing + 45.0;
  reading.warm->outside = kFreezing + 20.0;
  const auto found = tire_pressure(reading);
  REQUIRE(found.ok());
  // 351.3 kPa x 293.15 / 318.15 - 101.3 kPa, by hand.
  CHECK(found->cold.value == doctest::Approx(222.4e3).epsilon(0.001));
  CHECK(found->deviation.value == doctest::Approx(0.0108).epsilon(0.02));
  CHECK(found->deviation.low < 0.0);
  reading.warm.reset();
  CHECK(tire_pressure(reading)->deviation.value == doctest::Approx(30.0 / 220.0));
}

TEST_CASE("pressures that are no tire's are refused") {
  const TirePressureReading sound{230e3, 220e3, {2e3, std::nullopt}};
  CHECK(tire_pressure(sound).ok());
  auto wrong = sound;
  wrong.label = 2.2;  // bar in place of Pa
  CHECK(!tire_pressure(wrong).ok());
  wrong = sound;
  wrong.found = -1.0;
  CHECK(!tire_pressure(wrong).ok());
  wrong = sound;
  wrong.warm = WarmTire{45.0, 20.0};  // Celsius in place of K
  CHECK(!tire_pressure(wrong).ok());
  wrong = sound;
  wrong.gauge.sd = std::numeric_limits<double>::quiet_NaN();
  CHECK(!tire_pressure(wrong).ok());
}

TEST_CASE("a pressure against the label holds what is true in 95 %") {
  testing::Trials random(61);
  testing::Coverage deviation;
  for (int i = 0; i < testing::kTrials; ++i) {
    const double label = random.even(200e3, 300e3), truth = label * random.even(0.7, 1.2);
    const double outside = kFreezing + random.even(-10.0, 35.0);
    const double tire = outside + random.even(0.0, 35.0);
    TirePressureReading reading;
    reading.label = label;
    reading.gauge = {random.even(1e3, 4e3), std::nullopt};
    reading.found = pressure_at(truth, outside, tire) + random.normal(reading.gauge.sd);
    reading.warm = WarmTire{tire + random.normal(5.0), outside, 5.0};
    deviation.add(tire_pressure(reading)->deviation, truth / label - 1.0);
  }
  testing::check_holds(deviation);
}

TEST_CASE("four figures are week and year") {
  const auto made = made_in(" 2319 ");
  REQUIRE(made.ok());
  CHECK(made->week == 23);
  CHECK(made->year == 2019);
  for (const char* wrong : {"", "19", "231", "23190", "2x19", "0019", "5419", "-119"})
    CHECK_MESSAGE(!made_in(wrong).ok(), wrong);
  CHECK(made_in("238").error().what.find("before 2000") != std::string::npos);
}

TEST_CASE("a tire's age is counted from its week to the day given") {
  struct Row {
    MadeIn made;
    Day on;
    double years;
  };
  // Days by the calendar: week 1 begins on 1 January.
  const Row rows[] = {
      {{1, 2020}, {2020, 1, 1}, 0.0},
      {{1, 2019}, {2025, 1, 4}, 6.0},
      {{23, 2019}, {2025, 6, 8}, 6.0},
      {{53, 2019}, {2020, 12, 30}, 0.99},
  };
  for (const Row& row : rows) {
    const auto age = tire_age_years(row.made, row.on);
    REQUIRE(age.ok());
    CHECK(std::abs(*age - row.years) < 0.01);
  }
  CHECK(!tire_age_years({30, 2024}, {2024, 2, 1}).ok());
  CHECK(!tire_age_years({30, 2024}, {2025, 2, 30}).ok());
  CHECK(!tire_age_years({30, 2024}, {2025, 13, 1}).ok());
  CHECK(!tire_age_years({30, 2024}, {1925, 1, 1}).ok());
}

TEST_CASE("tread over the width tells the worn side and the legal depth") {
  const ReadingGauge gauge{0.0001, 0.0001};
  const auto inner = tread_across({{0.0015}, {0.004}, {0.005}}, gauge, 0.0016);
  REQUIRE(inner.ok());
  CHECK(inner->least.value == doctest::Approx(0.0015));
  CHECK(inner->inside_less.value == doctest::Approx(0.0035));
  CHECK(inner->shoulders_less.value == doctest::Approx(0.00075));
  CHECK(inner->under_legal);
  const auto turned = tread_across({{0.005}, {0.004}, {0.0015}}, gauge, 0.0016);
  CHECK(turned->inside_less.high == doctest::Approx(-inner->inside_less.low));
  CHECK(!tread_across({{0.005}, {0.005}}, gauge, 0.0016)->under_legal);
  CHECK(!tread_across({{0.005}}, gauge, 0.0016).ok());
  CHECK(!tread_across({{0.005}, {5.0}}, gauge, 0.0016).ok());
  CHECK(!tread_across({{0.005}, {0.005}}, gauge, 1.6).ok());
}

TEST_CASE("tread and play hold what is true in 95 %, the gauge known or learned") {
  testing::Trials random(67);
  testing::Coverage worn, shoulders, play;
  for (int i = 0; i < testing::kTrials; ++i) {
    const double sd = random.even(0.05e-3, 0.3e-3);
    std::vector<double> truth;
    std::vector<std::vector<double>> grooves;
    for (int k = 0; k < 4; ++k) {
      truth.push_back(random.even(2e-3, 8e-3));
      grooves.push_back({truth.back() + random.normal(sd)});
    }
    const auto tread = tread_across(grooves, {0.0, sd}, 0.0016);
    worn.add(tread->inside_less, truth[3] - truth[0]);
    shoulders.add(tread->shoulders_less, 0.5 * (truth[1] + truth[2] - truth[0] - truth[3]));
    const double rest = random.even(-1e-3, 1e-3), moved = random.even(0.05e-3, 0.2e-3);
    std::vector<double> pushed, pulled;
    for (int k = 0; k < 3; ++k) {
      pushed.push_back(rest + random.normal(0.005e-3));
      pulled.push_back(rest - moved + random.normal(0.005e-3));
    }
    play.add(*bearing_play(pushed, pulled, {0.0, std::nullopt}), moved);
  }
  testing::check_holds(worn);
  testing::check_holds(shoulders);
  testing::check_holds(play);
}

TEST_CASE("play that no dial reads is refused") {
  CHECK(!bearing_play({}, {0.0001}, {1e-5, 1e-5}).ok());
  CHECK(!bearing_play({0.0}, {0.3}, {1e-5, 1e-5}).ok());
  CHECK(!bearing_play({0.0}, {0.0001}, {1e-5, std::nullopt}).ok());
}
