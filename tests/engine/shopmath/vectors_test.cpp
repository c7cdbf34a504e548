// Vectors that were read: turned, taken from one another, blended, held against chance.
#include "engine/shopmath/vectors.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/least_squares.h"
#include "tests/engine/shopmath/estimates.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::read_as;

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

TEST_CASE("a zero vector stands out in one trial of twenty") {
  for (const std::optional<double> freedom : {std::optional<double>(), std::optional<double>(3)}) {
    testing::Trials random(7);
    testing::Coverage within;
    for (int i = 0; i < testing::kTrials; ++i) {
      VectorEstimate of = read_as({random.normal(0.2), random.normal(0.2)}, 0.2, freedom);
      of.value = {of.value.real() + 0.4 * of.value.imag(), of.value.imag()};
      of.xx = 1.0 + 0.16;
      of.xy = 0.4;
      if (freedom) {
        double squares = 0.0;
        for (int k = 0; k < 3; ++k) squares += std::pow(random.normal(0.2), 2) / 3.0;
        of.scatter.sd = std::sqrt(squares);
      }
      within.add({0.0, 0.0, 0.5}, stands_out(of) ? 1.0 : 0.0);
    }
    testing::check_holds(within);
  }
  CHECK(stands_out(read_as({0.01, 0.0}, 0.0)));
  CHECK(!stands_out(read_as({0.0, 0.0}, 0.0)));
}

TEST_CASE("a blend is the sum, turned and scaled, and as uncertain as all it is made of") {
  testing::Trials random(9);
  const std::vector<Vector> truth{{1.0, 0.4}, {-0.3, 0.8}, {0.2, -0.6}};
  const std::vector<Vector> by{{0.5, 1.0}, {0.0, 0.0}, {-2.0, 0.3}};
  const std::vector<Vector> other{{0.1, 0.0}, {1.0, 0.0}, {0.4, -0.2}};
  Vector sum, second;
  for (std::size_t i = 0; i < truth.size(); ++i) {
    sum += by[i] * truth[i];
    second += other[i] * truth[i];
  }
  testing::Coverage x, y, apart;
  for (int i = 0; i < testing::kTrials; ++i) {
    std::vector<VectorEstimate> read;
    for (const Vector& value : truth)
      read.push_back(read_as(value + Vector(random.normal(0.02), random.normal(0.02)), 0.02));
    const VectorEstimate made = blend(read, by);
    x.add(made.x(), sum.real());
    y.add(made.y(), sum.imag());
    apart.add(amount_apart(read, by, other), std::abs(sum) - std::abs(second));
  }
  testing::check_holds(x);
  testing::check_holds(y);
  testing::check_holds(apart);
}

TEST_CASE("scatter learned together has the freedom of all, what is known stays known") {
  const auto made = pooled(
      {read_as({1.0, 0.0}, 0.3, 4.0), read_as({0.0, 1.0}, 0.6, 2.0), read_as({0.0, 0.0}, 0.5)});
  // Pooled variance as in any handbook of statistics: (4 x 0.09 + 2 x 0.36) / 6.
  for (const std::size_t i : {0U, 1U}) {
    CHECK(made[i].scatter.sd == doctest::Approx(std::sqrt(0.18)).epsilon(1e-12));
    CHECK(*made[i].scatter.freedom == 6.0);
  }
  CHECK(made[2].scatter.sd == 0.5);
  CHECK(!made[2].scatter.freedom);
  // A difference of both is Student's with all of that freedom.
  const VectorEstimate apart = blend({made[0], made[1]}, {1.0, -1.0});
  CHECK(*apart.scatter.freedom == 6.0);
  CHECK(apart.xx == doctest::Approx(2.0));
}
