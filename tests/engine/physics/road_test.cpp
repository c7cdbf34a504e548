// Roads against the classes of ISO 8608, and generated roads against the density they were asked
// for.
#include "engine/physics/road.h"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>

#include "engine/quantity/angle.h"

using perrev::acceleration_density_at;
using perrev::displacement_density;
using perrev::displacement_density_at;
using perrev::kTurn;
using perrev::road_heights;
using perrev::RoadClass;
using perrev::roughness_of;

TEST_CASE("road classes of ISO 8608") {
  struct Row {
    RoadClass road;
    double lower, mean, upper;  // Gd(n0), 1e-6 m3; 0: open
    double velocity;            // Gv(n0), 1e-6 m
  };
  // ISO 8608:2016 tables C.1 and C.2.
  const Row rows[] = {
      {RoadClass::a, 0, 16, 32, 6.3},
      {RoadClass::b, 32, 64, 128, 25.3},
      {RoadClass::c, 128, 256, 512, 101.1},
      {RoadClass::d, 512, 1024, 2048, 404.3},
      {RoadClass::e, 2048, 4096, 8192, 1617},
      {RoadClass::f, 8192, 16384, 32768, 6468.1},
      {RoadClass::g, 32768, 65536, 131072, 25872.6},
      {RoadClass::h, 131072, 262144, 0, 103490},
  };
  for (const Row& row : rows) {
    CAPTURE(row.mean);
    const double roughness = roughness_of(row.road);
    CHECK(roughness == doctest::Approx(1e-6 * row.mean).epsilon(1e-12));
    CHECK(displacement_density(roughness, 0.1) == doctest::Approx(roughness).epsilon(1e-12));
    // The borders lie half a class away, a class being a factor of four.
    if (row.lower > 0) CHECK(0.5 * roughness == doctest::Approx(1e-6 * row.lower).epsilon(1e-12));
    if (row.upper > 0) CHECK(2.0 * roughness == doctest::Approx(1e-6 * row.upper).epsilon(1e-12));
    // Slope of the road; the same at every wave number, since waviness is 2. Printed to one
    // decimal.
    for (const double n : {0.011, 0.1, 2.83}) {
      const double slope = std::pow(kTurn * n, 2) * displacement_density(roughness, n);
      CHECK(std::abs(1e6 * slope - row.velocity) <= std::fmax(0.06, 5e-5 * row.velocity));
    }
  }
  // In angular form at 1 rad/m: class A 1e-6 m3 (ISO 8608).
  CHECK(displacement_density(16e-6, 1.0 / kTurn) / kTurn == doctest::Approx(1e-6).epsilon(0.006));
}

TEST_CASE("driven over, a road keeps its mean square in every band") {
  for (const double speed : {5.0, 27.8}) {
    // From 0.2 to 3 cycles/m, the integral in closed form.
    const double exact = 64e-6 * 0.01 * (1.0 / 0.2 - 1.0 / 3.0);
    double sum = 0.0;
    const int parts = 20000;
    const double from = 0.2 * speed, width = 2.8 * speed / parts;
    for (int i = 0; i < parts; ++i)
      sum += width * displacement_density_at(64e-6, from + (i + 0.5) * width, speed);
    CHECK(sum == doctest::Approx(exact).epsilon(1e-5));
    CHECK(acceleration_density_at(64e-6, 7.0, speed) ==
          doctest::Approx(std::pow(kTurn * 7.0, 4) * displacement_density_at(64e-6, 7.0, speed)));
  }
}

namespace {

// One-sided density in m3 at a whole number of waves over the length, Hann window.
double periodogram(const std::vector<double>& heights, double step, double waves) {
  std::complex<double> sum = 0.0;
  double mean = 0.0, window_power = 0.0;
  const double count = static_cast<double>(heights.size());
  for (const double height : heights) mean += height / count;
  const auto turn = std::polar(1.0, -kTurn * waves / count);
  std::complex<double> at = 1.0;
  for (std::size_t i = 0; i < heights.size(); ++i, at *= turn) {
    const double window = 0.5 - 0.5 * std::cos(kTurn * static_cast<double>(i) / count);
    window_power += window * window;
    sum += window * (heights[i] - mean) * at;
  }
  return 2.0 * std::norm(sum) * step / window_power;
}

}  // namespace

TEST_CASE("generated roads have the density asked for, over seeds") {
  // 1000 points are no whole period of the waves, so each bin scatters as noise does: relative
  // standard deviation 1 over the root of the number of roads (chi square of two degrees, exact up
  // to the window). Five of them bound each bin; neighbours of a Hann window share information, so
  // a third of the bins counts as independent in the mean over all.
  const double step = 0.05, roughness = 64e-6;
  const std::size_t count = 1000, roads = 200;
  const int first = 5, last = 400;
  std::vector<double> ratio(static_cast<std::size_t>(last) + 1, 0.0);
  for (std::size_t seed = 0; seed < roads; ++seed) {
    const auto heights = road_heights(roughness, step, count, 77 + seed);
    REQUIRE(heights.size() == count);
    for (int k = first; k <= last; k += 5) {
      const double cycles = k / (step * static_cast<double>(count));
      ratio[static_cast<std::size_t>(k)] += periodogram(heights, step, k) /
                                            displacement_density(roughness, cycles) /
                                            static_cast<double>(roads);
    }
  }
  const double one = 1.0 / std::sqrt(static_cast<double>(roads));
  double mean = 0.0;
  int bins = 0;
  for (int k = first; k <= last; k += 5, ++bins) {
    CAPTURE(k);
    // In the lowest bins the Hann window sees the steep density of its neighbours too.
    const double bias = k < 10 ? 0.15 : 0.02;
    CHECK(std::abs(ratio[static_cast<std::size_t>(k)] - 1.0) < 5.0 * one + bias);
    if (k >= 10) mean += ratio[static_cast<std::size_t>(k)];
  }
  mean /= bins - 1;
  CHECK(std::abs(mean - 1.0) < 5.0 * one / std::sqrt(static_cast<double>(bins)) + 0.01);
}

TEST_CASE("over a whole period a generated road has its mean square exactly (Parseval)") {
  const std::size_t count = 4096;
  const double step = 0.05, length = step * static_cast<double>(count);  // 204.8 m
  const auto heights = road_heights(16e-6, step, count, 3, 40.0);
  double expected = 0.0, found = 0.0, mean = 0.0;
  for (std::size_t k = 1; k < count / 2; ++k) {
    const double cycles = static_cast<double>(k) / length;
    if (1.0 / cycles <= 40.0) expected += displacement_density(16e-6, cycles) / length;
  }
  for (const double height : heights) {
    found += height * height / static_cast<double>(count);
    mean += height / static_cast<double>(count);
  }
  CHECK(found == doctest::Approx(expected).epsilon(1e-10));
  CHECK(std::abs(mean) < 1e-15);
}

TEST_CASE("a seed is a road, and roughness a factor on it") {
  const auto road = road_heights(16e-6, 0.1, 700, 9);
  CHECK(road == road_heights(16e-6, 0.1, 700, 9));
  CHECK(road != road_heights(16e-6, 0.1, 700, 10));
  const auto rougher = road_heights(64e-6, 0.1, 700, 9);
  for (std::size_t i = 0; i < road.size(); ++i)
    CHECK(rougher[i] == doctest::Approx(2.0 * road[i]).epsilon(1e-12));
}
