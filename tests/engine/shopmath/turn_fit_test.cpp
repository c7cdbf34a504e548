// Harmonics of readings round a turn, against closed formulas and random trials.
#include "engine/shopmath/turn_fit.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/shapes.h"

using namespace perrev;
using testing::even_places, testing::random_shape, testing::readings_of, testing::Shape,
    testing::uneven_places;

TEST_CASE("evenly spaced readings give Bessel's sums") {
  // x_k = 2/n sum r cos(k a), variance 2/n: trigonometric interpolation in any handbook of
  // numerical analysis.
  testing::Trials random(3);
  for (std::size_t count = kFewestReadings; count <= kMostReadings; ++count) {
    CAPTURE(count);
    const auto angles = even_places(count);
    std::vector<double> readings;
    for (std::size_t i = 0; i < count; ++i) readings.push_back(random.even(-1.0, 1.0));
    const auto fit = fit_turn({readings});
    REQUIRE(fit.ok());
    CHECK(fit->freedom == static_cast<int>(count - 1 - 2 * fit->harmonics.size()));
    double mean = 0.0;
    for (const double reading : readings) mean += reading / static_cast<double>(count);
    CHECK(fit->mean.value == doctest::Approx(mean).epsilon(1e-12));
    for (const Harmonic& harmonic : fit->harmonics) {
      Vector sum;
      for (std::size_t i = 0; i < count; ++i)
        sum +=
            readings[i] * vector_at(2.0 / static_cast<double>(count), harmonic.order * angles[i]);
      CHECK(std::abs(harmonic.vector.value - sum) < 1e-12);
      CHECK(harmonic.vector.xx == doctest::Approx(2.0 / static_cast<double>(count)));
      CHECK(std::abs(harmonic.vector.xy) < 1e-12);
      // The high place is one: the harmonic by itself is as high there as it is anywhere.
      CHECK(harmonic.high_place() < kTurn / harmonic.order);
      CHECK(std::real(harmonic.vector.value *
                      vector_at(1.0, -harmonic.order * harmonic.high_place())) ==
            doctest::Approx(harmonic.peak_to_peak().value / 2.0).epsilon(1e-9));
    }
  }
}

TEST_CASE("one harmonic is taken for every four readings, four at most") {
  struct Row {
    std::size_t readings, harmonics;
  };
  for (const Row& row :
       {Row{4, 1}, {5, 1}, {6, 1}, {7, 1}, {8, 2}, {11, 2}, {12, 3}, {16, 4}, {36, 4}}) {
    CAPTURE(row.readings);
    std::vector<double> readings(row.readings, 0.0);
    readings[1] = 0.3;
    const auto fit = fit_turn({readings});
    REQUIRE(fit.ok());
    CHECK(fit->harmonics.size() == row.harmonics);
    CHECK(fit->can_tell_odd == (row.readings >= 6));
  }
  const std::vector<double> nine{0, 1, 3, 2, 0, -1, -3, -2, -1};
  CHECK(fit_turn({nine, {}, {}, 3})->harmonics.size() == 3);
  CHECK(!fit_turn({nine, {}, {}, 4}).ok());  // no freedom to learn scatter from
  CHECK(fit_turn({nine, {}, {0.0, 0.1}, 4})->harmonics.size() == 4);
  CHECK(!fit_turn({nine, {}, {0.0, 0.1}, 5}).ok());
  CHECK(!fit_turn({nine, {}, {0.0, 0.1}, 0}).ok());
}

TEST_CASE("readings at given angles: a fit solved by normal equations elsewhere") {
  const std::vector<double> degrees{0, 40, 95, 130, 170, 220, 250, 300, 335};
  TurnReadings of{{0.12, 0.31, 0.42, 0.35, 0.18, -0.05, -0.20, -0.17, -0.02}};
  for (const double at : degrees) of.angles.push_back(at * kDegree);
  struct Row {
    int harmonics;
    double mean, x, y, sd, sd_x, sd_y;
  };
  // Normal equations by Gauss and Jordan in Python.
  const Row rows[] = {{1, 0.114878, -0.007754, 0.311810, 0.0178206, 0.0081987, 0.0086700},
                      {2, 0.114572, -0.009746, 0.312689, 0.0152953, 0.0071872, 0.0074986}};
  for (const Row& row : rows) {
    CAPTURE(row.harmonics);
    of.harmonics = row.harmonics;
    const auto fit = fit_turn(of);
    REQUIRE(fit.ok());
    const VectorEstimate& first = fit->harmonics[0].vector;
    CHECK(std::abs(fit->mean.value - row.mean) < 1e-6);
    CHECK(std::abs(first.value.real() - row.x) < 1e-6);
    CHECK(std::abs(first.value.imag() - row.y) < 1e-6);
    CHECK(std::abs(fit->scatter.sd - row.sd) < 1e-7);
    CHECK(std::abs(fit->scatter.sd * std::sqrt(first.xx) - row.sd_x) < 1e-7);
    CHECK(std::abs(fit->scatter.sd * std::sqrt(first.yy) - row.sd_y) < 1e-7);
  }
}

TEST_CASE("the curve goes through readings that have no scatter, wherever they stand") {
  testing::Trials random(17);
  for (int i = 0; i < 200; ++i) {
    const std::size_t count = 12 + random.below(25);
    const Shape shape = random_shape(random, 0.5, 2);
    const auto angles = uneven_places(random, count);
    const auto fit = fit_turn({readings_of(shape, angles, random, 0.0), angles});
    REQUIRE(fit.ok());
    for (double angle = 0.0; angle < kTurn; angle += 0.1)
      CHECK(std::abs(fit->at(angle) - shape.at(angle)) < 1e-9);
    CHECK(fit->odd.empty());
  }
}

TEST_CASE("turning the mark turns every high place and leaves amounts alone") {
  testing::Trials random(5);
  for (int i = 0; i < 100; ++i) {
    const auto angles = uneven_places(random, 14);
    const Shape shape = random_shape(random, 0.5, 3);
    const auto readings = readings_of(shape, angles, random, 0.02);
    const double turn = random.even(0.1, 6.0);
    std::vector<double> turned;
    for (const double angle : angles) turned.push_back(std::fmod(angle + turn, kTurn));
    const auto one = fit_turn({readings, angles}), other = fit_turn({readings, turned});
    REQUIRE(one.ok());
    REQUIRE(other.ok());
    REQUIRE(one->harmonics.size() == other->harmonics.size());
    for (std::size_t k = 0; k < one->harmonics.size(); ++k) {
      const Harmonic &here = one->harmonics[k], &there = other->harmonics[k];
      CHECK(here.peak_to_peak().high == doctest::Approx(there.peak_to_peak().high).epsilon(1e-9));
      CHECK(std::abs(std::remainder(here.high_place() + turn - there.high_place(),
                                    kTurn / here.order)) < 1e-9);
    }
  }
}

TEST_CASE("a reading that is off is told by its index and stays in the fit") {
  testing::Trials random(51);
  for (int i = 0; i < 300; ++i) {
    const std::size_t count = 10 + random.below(27), at = random.below(count);
    const bool known = i % 2 == 0;
    auto readings = readings_of(random_shape(random, 0.4, 1), even_places(count), random, 0.01);
    readings[at] += 0.6;
    TurnReadings of{readings};
    if (known) of.gauge.repeatability = 0.01;
    of.harmonics = 2;
    const auto fit = fit_turn(of);
    REQUIRE(fit.ok());
    REQUIRE(!fit->odd.empty());
    CHECK(fit->odd[0].reading == at);
    CHECK(std::abs(fit->odd[0].off - 0.6) < 0.1);
    CHECK(fit->residuals.size() == count);
    CHECK(fit->rougher_than_gauge == known);
  }
}

TEST_CASE("two readings that are off are told both") {
  testing::Trials random(61);
  auto readings = readings_of({0.0, {{0.2, 0.1}}}, even_places(16), random, 0.005);
  readings[3] += 0.4;
  readings[10] -= 0.3;
  const auto fit = fit_turn({readings, {}, {}, 2});
  REQUIRE(fit->odd.size() >= 2);
  CHECK(fit->odd[0].reading == 3);
  CHECK(fit->odd[1].reading == 10);
}

TEST_CASE("readings that only scatter seldom stand out") {
  testing::Trials random(71);
  for (const bool known : {true, false}) {
    int told = 0, rougher = 0;
    for (int i = 0; i < testing::kTrials; ++i) {
      TurnReadings of{readings_of({0.0, {{0.3, 0.0}}}, even_places(12), random, 0.01)};
      if (known) of.gauge.repeatability = 0.01;
      const auto fit = fit_turn(of);
      told += !fit->odd.empty();
      rougher += fit->rougher_than_gauge;
    }
    CAPTURE(known);
    // 0.5 % for the first; more with the second and third looked for as well.
    const double count = testing::kTrials;
    CHECK(told <= count * (0.02 + testing::for_fewer(0.02)));
    CHECK(told >= std::fmax(1.0, count * (0.002 - testing::for_fewer(0.002))));
    CHECK(rougher <= count * (0.002 + testing::for_fewer(0.002)));
  }
}

TEST_CASE("fewer than six readings tell of no reading that is off") {
  const auto fit = fit_turn({{0.0, 0.1, 5.0, 0.1, 0.0}});
  REQUIRE(fit.ok());
  CHECK(!fit->can_tell_odd);
  CHECK(fit->odd.empty());
}

TEST_CASE("a shape beyond the harmonics widens what is said") {
  // A seventh harmonic twenty times as large as what the dial scatters.
  std::vector<double> readings;
  for (const double angle : even_places(36))
    readings.push_back(std::cos(angle) + std::cos(7 * angle));
  const auto fit = fit_turn({readings, {}, {0.0, 0.05}});
  REQUIRE(fit.ok());
  CHECK(fit->rougher_than_gauge);
  CHECK(fit->scatter.freedom.has_value());
  CHECK(fit->scatter.sd > 0.5);
}

TEST_CASE("readings that agree to the step scatter as the step does, and no less") {
  // A step spreads evenly over its width: sd of step over root 12 (GUM, JCGM 100:2008, F.2.2.1).
  const auto fit = fit_turn({{1, 1, 1, 1, 1, 1, 1, 1}, {}, {0.12, 0.0}});
  REQUIRE(fit.ok());
  CHECK(fit->scatter.sd == doctest::Approx(0.034641).epsilon(1e-4));
  CHECK(!fit->scatter.freedom);
  CHECK(!fit->rougher_than_gauge);
  CHECK(fit->harmonics[0].vector.amount().high > 0.0);
}

TEST_CASE("readings that cannot be are refused in words") {
  const std::vector<double> four{0, 1, 0, -1};
  const double nan = std::nan("");
  for (const TurnReadings& of :
       {TurnReadings{{}}, TurnReadings{{1, 2, 3}}, TurnReadings{std::vector<double>(37, 1.0)},
        TurnReadings{{0, 1, nan, 2}}, TurnReadings{four, {0, 1, 2}},
        TurnReadings{four, {0, 1, 2, kTurn}}, TurnReadings{four, {0, 1, 2, -0.1}},
        TurnReadings{four, {0, 1, 2, 2}}, TurnReadings{four, {0, 1, 2, kTurn - 0.001}},
        TurnReadings{four, {0, 0.1, 0.2, 0.3}}, TurnReadings{four, {0, 1, 2, nan}}}) {
    const auto fit = fit_turn(of);
    REQUIRE(!fit.ok());
    CHECK(!fit.error().what.empty());
    CHECK(!fit.error().right.empty());
  }
}
