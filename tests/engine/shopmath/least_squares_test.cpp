// Least squares against a fit that is known.
#include "engine/shopmath/least_squares.h"

#include <doctest/doctest.h>

using namespace perrev;

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

TEST_CASE("readings that settle nothing are refused") {
  CHECK(!least_squares({}, {}).ok());
  CHECK(!least_squares({{1.0, 2.0}}, {3.0}).ok());
  CHECK(!least_squares({{1.0, 2.0}, {2.0, 4.0}, {3.0, 6.0}}, {1.0, 2.0, 3.0}).ok());
}
