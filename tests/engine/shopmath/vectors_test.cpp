// Vectors and least squares against Student's tables and a fit that is known.
#include "engine/shopmath/vectors.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/least_squares.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

TEST_CASE("a 95 % interval is as wide as the tables of Student's t say") {
  struct Row {
    double freedom, quantile;
  };
  // Two-sided 5 %: W. S. Gosset's distribution as in any handbook; e.g. NIST/SEMATECH 1.3.6.7.2.
  for (const Row& row : {Row{1, 12.706}, {2, 4.303}, {5, 2.571}, {10, 2.228}, {30, 2.042}}) {
    CAPTURE(row.freedom);
    CHECK(Scatter{1.0, row.freedom}.half_width() == doctest::Approx(row.quantile).epsilon(2e-4));
  }
  CHECK(Scatter{2.0, std::nullopt}.half_width() == doctest::Approx(3.92).epsilon(1e-3));
}

TEST_CASE("turning a vector turns its uncertainty with it") {
  testing::Trials random(7);
  for (int i = 0; i < 200; ++i) {
    VectorEstimate of;
    of.value = {random.even(-2.0, 2.0), random.even(-2.0, 2.0)};
    of.xx = random.even(0.1, 1.0);
    of.yy = random.even(0.1, 1.0);
    of.xy = 0.5 * std::sqrt(of.xx * of.yy);
    of.scatter = {0.1, std::nullopt};
    const Vector turn = vector_at(1.0, random.even(0.0, 6.0));
    const VectorEstimate turned = times(of, turn);
    CHECK(turned.amount().high == doctest::Approx(of.amount().high).epsilon(1e-9));
    CHECK(turned.angle_half_width() == doctest::Approx(of.angle_half_width()).epsilon(1e-9));
    CHECK(std::abs(times(turned, 1.0 / turn).value - of.value) < 1e-12);
  }
}

TEST_CASE("a line through points comes out as the closed formulas say") {
  // Slope and its variance: sum((x - mean)(y - mean)) / sum((x - mean)^2), sigma^2 / sum(...).
  const std::vector<double> x{0.0, 1.0, 2.0, 3.0, 5.0}, y{1.0, 2.9, 5.2, 6.8, 11.1};
  std::vector<std::vector<double>> rows;
  double mean_x = 0.0, mean_y = 0.0, over = 0.0, under = 0.0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    rows.push_back({1.0, x[i]});
    mean_x += x[i] / 5.0;
    mean_y += y[i] / 5.0;
  }
  for (std::size_t i = 0; i < x.size(); ++i) {
    over += (x[i] - mean_x) * (y[i] - mean_y);
    under += (x[i] - mean_x) * (x[i] - mean_x);
  }
  const auto fit = least_squares(rows, y);
  REQUIRE(fit.ok());
  CHECK(fit->values[1] == doctest::Approx(over / under).epsilon(1e-12));
  CHECK(fit->covariance[1][1] == doctest::Approx(1.0 / under).epsilon(1e-12));
  CHECK(fit->freedom == 3);
  double leverage = 0.0;
  for (const double h : fit->leverage) leverage += h;
  CHECK(leverage == doctest::Approx(2.0).epsilon(1e-12));
}

TEST_CASE("a difference of vectors with learned scatter holds what is true in 95 %") {
  testing::Trials random(11);
  testing::Coverage x, y;
  for (int i = 0; i < testing::kTrials; ++i) {
    // Each from a harmonic fit over eight places, its scatter learned from five residuals.
    const auto read = [&](Vector truth, double sd) {
      std::vector<std::vector<double>> rows;
      std::vector<double> readings;
      for (int k = 0; k < 8; ++k) {
        const double at = kTurn * k / 8.0;
        rows.push_back({1.0, std::cos(at), std::sin(at)});
        readings.push_back(truth.real() * std::cos(at) + truth.imag() * std::sin(at) +
                           random.normal(sd));
      }
      const auto fit = least_squares(rows, readings);
      return fit->vector(1, 2, *fit->scatter(std::nullopt));
    };
    const VectorEstimate made = difference(read({0.4, -0.1}, 0.05), read({0.1, 0.3}, 0.05));
    x.add(made.x(), 0.3);
    y.add(made.y(), -0.4);
  }
  testing::check_holds(x);
  testing::check_holds(y);
}

TEST_CASE("readings that settle nothing are refused") {
  CHECK(!least_squares({}, {}).ok());
  CHECK(!least_squares({{1.0, 2.0}}, {3.0}).ok());
  CHECK(!least_squares({{1.0, 2.0}, {2.0, 4.0}, {3.0, 6.0}}, {1.0, 2.0, 3.0}).ok());
}
