// Studs: which angles there are, and the best of them.
#include "engine/shopmath/studs.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/estimates.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::read_as;

TEST_CASE("studs allow the turns that bring each onto another") {
  struct Row {
    int studs;
    std::vector<int> degrees;
  };
  // A whole turn over the studs, and its multiples: by hand.
  const Row rows[] = {{3, {120, 240}},
                      {4, {90, 180, 270}},
                      {5, {72, 144, 216, 288}},
                      {6, {60, 120, 180, 240, 300}},
                      {8, {45, 90, 135, 180, 225, 270, 315}}};
  for (const Row& row : rows) {
    CAPTURE(row.studs);
    const auto turns = stud_turns(row.studs);
    REQUIRE(turns.ok());
    REQUIRE(turns->size() == row.degrees.size());
    for (std::size_t i = 0; i < row.degrees.size(); ++i)
      CHECK((*turns)[i] == doctest::Approx(row.degrees[i] * kDegree).epsilon(1e-12));
    CHECK(stud_turn(row.studs, std::numbers::pi).ok() == (row.studs % 2 == 0));
  }
  CHECK(!stud_turns(2).ok());
  CHECK(!stud_turns(13).ok());
}

TEST_CASE("an angle that the studs cannot do is refused with those that they can") {
  const auto refused = stud_turn(5, std::numbers::pi);
  REQUIRE(!refused.ok());
  CHECK(refused.error().what == "5 studs do not let the wheel turn by that angle");
  CHECK(refused.error().right == "72, 144, 216 or 288 degrees");
  CHECK(!stud_turn(4, 7.0).ok());
  // Written in whole degrees, either way round: 7 studs, 51.43 degrees.
  CHECK(*stud_turn(7, 51.0 * kDegree) == doctest::Approx(kTurn / 7.0));
  CHECK(*stud_turn(5, -72.0 * kDegree) == doctest::Approx(288.0 * kDegree));
  CHECK(*stud_turn(5, 0.0) == 0.0);
  CHECK(*stud_turn(5, -0.5 * kDegree) == 0.0);
  CHECK(*stud_turn(5, 359.5 * kDegree) == 0.0);
}

TEST_CASE("the best place on the studs is the one of all that reads least") {
  testing::Trials random(3);
  for (int i = 0; i < 300; ++i) {
    const int studs = 3 + static_cast<int>(random.below(6));
    const VectorEstimate hub = read_as({random.even(-1, 1), random.even(-1, 1)}, 0.1);
    const VectorEstimate wheel = read_as({random.even(-1, 1), random.even(-1, 1)}, 0.1);
    const TurnedParts parts = parts_read_apart(hub, wheel);
    const auto best = best_stud_place(parts, studs);
    REQUIRE(best.ok());
    CHECK(best->amount.value >= parts.least().value - 1e-12);
    CHECK(best->amount.value <= parts.most().value + 1e-12);
    for (int k = 0; k < studs; ++k)
      CHECK(best->amount.value <=
            std::abs(hub.value + wheel.value * vector_at(1.0, 360.0 * k / studs * kDegree)) + 1e-9);
    // Never further from the best of any angle than half a step between studs.
    const double off = std::remainder(best->turn - parts.turn_of_least(), kTurn);
    CHECK(std::abs(off) <= std::numbers::pi / studs + 1e-9);
  }
}
