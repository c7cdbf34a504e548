// Seatings: how far one is from another.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"
#include "engine/shopmath/indexing.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

TEST_CASE("the spread of seatings has the interval of the chi-square tables") {
  // Six seatings have 10 degrees of freedom: 20.483 and 3.247 at 0.975 and 0.025, NIST/SEMATECH
  // 1.3.6.7.4.
  std::vector<Vector> seatings;
  for (int k = 0; k < 6; ++k) seatings.push_back(vector_at(1.0, k * 60.0 * kDegree));
  const auto spread = seating_spread(seatings);
  REQUIRE(spread.ok());
  CHECK(*spread->mean.scatter.freedom == 10.0);
  CHECK(std::abs(spread->mean.value) < 1e-12);
  CHECK(spread->sd.value == doctest::Approx(std::sqrt(6.0 / 10.0)).epsilon(1e-12));
  CHECK(spread->sd.low == doctest::Approx(std::sqrt(6.0 / 20.483)).epsilon(1e-4));
  CHECK(spread->sd.high == doctest::Approx(std::sqrt(6.0 / 3.247)).epsilon(1e-4));
  CHECK(!seating_spread({Vector(1.0, 2.0)}).ok());
}

TEST_CASE("95 % intervals of a seating's spread and mean hold, two seatings or many") {
  testing::Trials random(77);
  for (const int count : {2, 3, 5, 10}) {
    CAPTURE(count);
    testing::Coverage sd, x, y;
    for (int i = 0; i < testing::kTrials; ++i) {
      std::vector<Vector> seatings;
      for (int k = 0; k < count; ++k)
        seatings.push_back({2.0 + random.normal(0.3), -1.0 + random.normal(0.3)});
      const auto spread = seating_spread(seatings);
      REQUIRE(spread.ok());
      sd.add(spread->sd, 0.3);
      x.add(spread->mean.x(), 2.0);
      y.add(spread->mean.y(), -1.0);
    }
    for (const testing::Coverage& coverage : {sd, x, y}) testing::check_holds(coverage);
  }
}

TEST_CASE("a spread learned from seatings keeps 95 % in the mountings that it is used for") {
  testing::Trials random(78);
  testing::Coverage wheel_x, mounting_y;
  for (int i = 0; i < testing::kTrials; ++i) {
    const auto noise = [&] { return Vector(random.normal(0.2), random.normal(0.2)); };
    const auto spread = seating_spread({noise(), noise(), noise(), noise()});
    REQUIRE(spread.ok());
    const Vector mounting(1.0, -2.0), wheel(0.5, 3.0);
    const auto found = index_wheel({{0.0, mounting + wheel + noise(), false},
                                    {std::numbers::pi, mounting - wheel + noise(), false}},
                                   CountedFrom::staying, spread->mean.scatter);
    REQUIRE(found.ok());
    wheel_x.add(found->wheel().x(), 0.5);
    mounting_y.add(found->mounting().y(), -2.0);
  }
  testing::check_holds(wheel_x);
  testing::check_holds(mounting_y);
}
