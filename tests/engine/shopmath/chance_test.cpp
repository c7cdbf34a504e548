// What chance does: the ends of readings that scatter, vectors against their own uncertainty.
#include "engine/shopmath/chance.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

VectorEstimate estimate(Vector value, double sd, std::optional<double> freedom = std::nullopt) {
  return {value, 1.0, 0.0, 1.0, {sd, freedom}};
}

struct EndCoverage {
  testing::Coverage spread, lowest;
};

EndCoverage ends_covered(std::uint64_t seed, const std::vector<double>& truth, double sd) {
  testing::Trials random(seed);
  EndCoverage out;
  const double low = *std::min_element(truth.begin(), truth.end());
  const double high = *std::max_element(truth.begin(), truth.end());
  for (int i = 0; i < testing::kTrials; ++i) {
    std::vector<double> readings;
    for (const double value : truth) readings.push_back(value + random.normal(sd));
    out.spread.add(spread_of(readings, {sd, std::nullopt}), high - low);
    out.lowest.add(lowest_of(readings, {sd, std::nullopt}), low);
  }
  return out;
}

}  // namespace

TEST_CASE("other levels than 95 %") {
  // Student's t and the normal distribution as tabled, e.g. NIST/SEMATECH 1.3.6.7: 1 % two-sided.
  CHECK(half_width_outside({1.0, 5.0}, 0.01) == doctest::Approx(4.032).epsilon(2e-4));
  CHECK(half_width_outside({1.0, std::nullopt}, 0.01) == doctest::Approx(2.576).epsilon(2e-4));
  CHECK(half_width_outside({3.0, 7.0}, 0.05) ==
        doctest::Approx(Scatter{3.0, 7.0}.half_width()).epsilon(1e-12));
}

TEST_CASE("highest less lowest holds the truth in 95 % where the ends stand clear") {
  const EndCoverage clear = ends_covered(3, {0.0, 1.0, 3.0, 2.0, -1.0, -3.0, -1.5, 0.5}, 0.1);
  testing::check_holds(clear.spread);
  testing::check_holds(clear.lowest);
}

TEST_CASE("highest less lowest holds the truth at least as often where many are near the ends") {
  for (const std::vector<double>& truth : {std::vector<double>(8, 1.0),
                                           std::vector<double>(36, 2.0),
                                           {0, 1, 1, 0, 0, 1, 1, 0},
                                           {0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7}}) {
    const EndCoverage near = ends_covered(5, truth, 0.1);
    CAPTURE(truth.size());
    CHECK(near.spread.share() >= 0.943);
    CHECK(near.lowest.share() >= 0.943);
  }
}

TEST_CASE("a zero vector stands out in one trial of twenty") {
  for (const std::optional<double> freedom : {std::optional<double>(), std::optional<double>(3)}) {
    testing::Trials random(7);
    testing::Coverage within;
    for (int i = 0; i < testing::kTrials; ++i) {
      VectorEstimate of = estimate({random.normal(0.2), random.normal(0.2)}, 0.2, freedom);
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
  CHECK(stands_out(estimate({0.01, 0.0}, 0.0)));
  CHECK(!stands_out(estimate({0.0, 0.0}, 0.0)));
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
      read.push_back(estimate(value + Vector(random.normal(0.02), random.normal(0.02)), 0.02));
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
      {estimate({1.0, 0.0}, 0.3, 4.0), estimate({0.0, 1.0}, 0.6, 2.0), estimate({0.0, 0.0}, 0.5)});
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
