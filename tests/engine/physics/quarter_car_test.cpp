// A corner of a vehicle: published values of the golden car, limits, and a slow twin.
#include "engine/physics/quarter_car.h"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>

#include "engine/physics/road.h"
#include "engine/physics/weighting.h"
#include "engine/quantity/angle.h"

using perrev::acceleration_density_at;
using perrev::body_per_force;
using perrev::body_per_road;
using perrev::golden_car;
using perrev::kTurn;
using perrev::natural_frequencies;
using perrev::QuarterCar;
using perrev::Weighting;
using perrev::weighting_gain;
using Complex = std::complex<double>;

namespace {

// sprung, unsprung, spring, tire, damper
const QuarterCar kLight{240.0, 36.0, 16000.0, 160000.0, 980.0};
const QuarterCar kHeavy{400.0, 40.0, 21000.0, 150000.0, 1500.0};

// Body's acceleration for a force on the wheel and a road's height, by Cramer's rule.
Complex solved(const QuarterCar& car, double hz, double force, double height) {
  const Complex s(0.0, kTurn * hz);
  const Complex link = car.damper * s + car.spring;
  const Complex body = car.sprung * s * s + link;
  const Complex wheel = car.unsprung * s * s + link + car.tire;
  const Complex push = car.tire * height + force;
  return s * s * link * push / (body * wheel - link * link);
}

}  // namespace

TEST_CASE("natural frequencies of a body on its wheel") {
  struct Row {
    QuarterCar car;
    double body, hop;
  };
  // Of the golden car: from K1, K2 and mu of ASTM E1926, as its biquadratic gives them; the others
  // by numpy's eigenvalues.
  const Row rows[] = {
      {golden_car(), 1.2083, 11.0047}, {kLight, 1.238, 11.135}, {kHeavy, 1.079, 10.414}};
  for (const Row& row : rows) {
    const auto natural = natural_frequencies(row.car);
    CHECK(natural.body_hz == doctest::Approx(row.body).epsilon(4e-4));
    CHECK(natural.wheel_hop_hz == doctest::Approx(row.hop).epsilon(5e-5));
  }
}

TEST_CASE("natural frequencies are those where nothing damps and a push has no end") {
  for (QuarterCar car : {golden_car(), kLight, kHeavy}) {
    car.damper = 0.0;
    const auto natural = natural_frequencies(car);
    for (const double hz : {natural.body_hz, natural.wheel_hop_hz})
      CHECK(std::abs(body_per_force(car, hz)) > 1e6 * std::abs(body_per_force(car, 1.01 * hz)));
  }
}

TEST_CASE("body's acceleration for a force at the wheel, worked values") {
  struct Row {
    double hz, golden, light, heavy;  // m/s2 per N
  };
  // By scipy.signal of the two equations of motion.
  const Row rows[] = {
      {1, 4.424360e-4, 5.3128e-4, 6.8548e-4},
      {5, 1.462815e-3, 1.088081e-3, 9.910446e-4},
      {10, 3.909892e-3, 3.835305e-3, 2.524174e-3},
      {12.5, 3.564977e-3, 3.554538e-3, 2.084328e-3},
      {15, 2.638414e-3, 2.248058e-3, 1.511449e-3},
      {20, 1.639806e-3, 1.250173e-3, 9.447522e-4},
      {10.712, 4.0085e-3, 0, 0},  // peaks
      {10.991, 0, 4.2292e-3, 0},
      {10.215, 0, 0, 2.5305e-3},
  };
  const auto meets = [](const QuarterCar& car, double hz, double value) {
    if (value > 0.0)
      CHECK(std::abs(body_per_force(car, hz)) == doctest::Approx(value).epsilon(2e-5));
  };
  for (const Row& row : rows) {
    CAPTURE(row.hz);
    meets(golden_car(), row.hz, row.golden);
    meets(kLight, row.hz, row.light);
    meets(kHeavy, row.hz, row.heavy);
  }
  const double phases[][2] = {{1, 150.2},    {5, 61.7},   {10, 8.8},
                              {12.5, -30.4}, {15, -51.5}, {20, -67.9}};
  for (const auto& [hz, degrees] : phases)
    CHECK(std::arg(body_per_force(golden_car(), hz)) * 360.0 / kTurn ==
          doctest::Approx(degrees).epsilon(0.004));
  const double roads[][2] = {
      {5, 0.24196}, {10, 0.16168}, {12.5, 0.09435}, {15, 0.04849}, {20, 0.01695}};
  for (const auto& [hz, ratio] : roads)
    CHECK(std::abs(body_per_road(golden_car(), hz)) == doctest::Approx(ratio).epsilon(1e-3));
}

TEST_CASE("frequency responses solve the equations of motion") {
  for (const QuarterCar& car : {golden_car(), kLight, kHeavy})
    for (double hz = 0.05; hz < 120.0; hz *= 1.3) {
      CAPTURE(hz);
      const Complex s(0.0, kTurn * hz);
      const Complex by_force = solved(car, hz, 1.0, 0.0);
      const Complex by_road = solved(car, hz, 0.0, 1.0) / (s * s);
      CHECK(std::abs(body_per_force(car, hz) - by_force) <= 1e-12 * std::abs(by_force));
      CHECK(std::abs(body_per_road(car, hz) - by_road) <= 1e-12 * std::abs(by_road));
      // Force variation at fixed radius is stiffness times runout.
      CHECK(std::abs(car.tire * body_per_force(car, hz) - by_road * s * s) <=
            1e-12 * std::abs(by_road * s * s));
    }
}

TEST_CASE("limits: over long waves the body goes with the road, over short ones not at all") {
  for (const QuarterCar& car : {golden_car(), kLight, kHeavy}) {
    CHECK(std::abs(body_per_road(car, 1e-4) - 1.0) < 1e-6);
    const double fast = kTurn * 1e5;
    CHECK(std::abs(body_per_force(car, 1e5)) ==
          doctest::Approx(car.damper / (car.sprung * car.unsprung * fast)).epsilon(1e-4));
  }
}

TEST_CASE("where wheel and tire alone resonate, spring and damper do not matter") {
  // The invariant point of a quarter car: Hedrick and Butsuen, Proc. IMechE D 204 (1990) 45.
  for (const double spring : {8000.0, 16000.0, 40000.0})
    for (const double damper : {200.0, 980.0, 4000.0}) {
      QuarterCar car = kLight;
      car.spring = spring;
      car.damper = damper;
      const double hz = std::sqrt(car.tire / car.unsprung) / kTurn;
      CHECK(std::abs(body_per_road(car, hz) + car.unsprung / car.sprung) < 1e-12);
    }
}

TEST_CASE("road of class A at 100 km/h under the golden car") {
  // m/s2 r.m.s., computed with scipy.integrate from ISO 8608 and ASTM E1926.
  const double speed = 100.0 / 3.6;
  const auto density = [&](double hz) {
    return std::norm(body_per_road(golden_car(), hz)) * acceleration_density_at(16e-6, hz, speed);
  };
  const auto rms = [&](double from, double to, bool weighted) {
    const int parts = 20000;
    double sum = 0.0;
    for (int i = 0; i < parts; ++i) {
      const double hz = from + (to - from) * (i + 0.5) / parts;
      const double weight = weighted ? weighting_gain(Weighting::wk, hz) : 1.0;
      sum += density(hz) * weight * weight * (to - from) / parts;
    }
    return std::sqrt(sum);
  };
  CHECK(rms(0.01, 100.0, false) == doctest::Approx(0.453).epsilon(0.0015));
  CHECK(rms(0.01, 100.0, true) == doctest::Approx(0.398).epsilon(0.0015));
  const double half_band = std::pow(2.0, 1.0 / 6.0);
  CHECK(rms(12.5 / half_band, 12.5 * half_band, false) == doctest::Approx(0.165).epsilon(0.004));
  CHECK(density(13.0) == doctest::Approx(7.94e-3).epsilon(0.001));
}
