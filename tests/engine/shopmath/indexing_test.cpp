// Re-seating check: worked values of index balancing, laws, and what 95 % intervals hold.
#include "engine/shopmath/indexing.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

const Scatter kKnown{0.1, std::nullopt};

// Mountings that have no error: read on the shaft, or from the valve.
std::vector<Mounting> mounted(Vector mounting, Vector wheel, const std::vector<double>& degrees,
                              CountedFrom from) {
  std::vector<Mounting> out;
  for (const double turn : degrees) {
    const Vector turned = vector_at(1.0, turn * kDegree);
    const Vector on_shaft = mounting + wheel * turned;
    out.push_back(
        {turn * kDegree, from == CountedFrom::staying ? on_shaft : on_shaft / turned, false});
  }
  return out;
}

}  // namespace

TEST_CASE("two mountings split the wheel from its mounting as index balancing does") {
  struct Row {
    double amount_1, angle_1, amount_2, angle_2, turn;  // degrees
    double mounting, mounting_angle, wheel, wheel_angle;
    double amount_off, angle_off;
  };
  const Row rows[] = {
      // ISO 21940-14: R = (U1 - U2) / 2, A = (U1 + U2) / 2 at half a turn; worked by hand.
      {10.0, 30.0, 6.0, 200.0, 180.0, 2.1109, 44.288, 7.9715, 26.253, 1e-4, 1e-3},
      // ISO 21940-14, R = (U1 - U2) / (1 - e^(j phi)) at a quarter turn; worked by hand.
      {5.830952, 9.03624, 2.0, 130.0, 90.0, 3.0, 310.0, 5.0, 40.0, 1e-5, 1e-3},
  };
  for (const Row& row : rows) {
    CAPTURE(row.turn);
    const auto found =
        index_wheel({{0.0, vector_at(row.amount_1, row.angle_1 * kDegree), false},
                     {row.turn * kDegree, vector_at(row.amount_2, row.angle_2 * kDegree), false}},
                    CountedFrom::staying, kKnown);
    REQUIRE(found.ok());
    CHECK(std::abs(std::abs(found->mounting().value) - row.mounting) < row.amount_off);
    CHECK(std::abs(angle_of(found->mounting().value) / kDegree - row.mounting_angle) <
          row.angle_off);
    CHECK(std::abs(std::abs(found->wheel().value) - row.wheel) < row.amount_off);
    CHECK(std::abs(angle_of(found->wheel().value) / kDegree - row.wheel_angle) < row.angle_off);
  }
}

TEST_CASE("any mountings without error give wheel and mounting back, from either mark") {
  testing::Trials random(21);
  const std::vector<std::vector<double>> sets{
      {0, 180},     {0, 72},     {0, 144},     {0, 72, 144, 216, 288},
      {0, -90, 90}, {0, 0, 120}, {30, 200, 77}};
  for (const CountedFrom from : {CountedFrom::staying, CountedFrom::turning})
    for (const auto& degrees : sets) {
      const Vector mounting(random.even(-5, 5), random.even(-5, 5));
      const Vector wheel(random.even(-5, 5), random.even(-5, 5));
      const auto found = index_wheel(mounted(mounting, wheel, degrees, from), from, kKnown);
      REQUIRE(found.ok());
      CHECK(std::abs(found->mounting().value - mounting) < 1e-12);
      CHECK(std::abs(found->wheel().value - wheel) < 1e-12);
      CHECK(!found->parts.torn);
    }
}

TEST_CASE("half a turn changes the reading by twice the part that turns against the mark") {
  const Vector mounting(3.0, -1.0), wheel(-0.5, 2.0);
  for (const CountedFrom from : {CountedFrom::staying, CountedFrom::turning}) {
    const auto found = index_wheel(mounted(mounting, wheel, {0, 180}, from), from, kKnown);
    REQUIRE(found.ok());
    const double part = std::abs(from == CountedFrom::staying ? wheel : mounting);
    CHECK(found->changes[0] == 0.0);
    CHECK(found->changes[1] == doctest::Approx(2.0 * part).epsilon(1e-12));
    CHECK(found->half_turn_change(from).value == doctest::Approx(2.0 * part).epsilon(1e-12));
    // Five studs: |1 - e^(j 144 deg)| = 2 sin 72 deg.
    const auto five = index_wheel(mounted(mounting, wheel, {0, 144}, from), from, kKnown);
    REQUIRE(five.ok());
    CHECK(five->changes[1] ==
          doctest::Approx(2.0 * part * std::sin(72.0 * kDegree)).epsilon(1e-12));
    CHECK(five->half_turn_change(from).value == doctest::Approx(2.0 * part).epsilon(1e-12));
  }
}

TEST_CASE("half a turn settles both parts best, and as sharply as the closed formula says") {
  // At half a turn R and A are half a sum of two readings: variance 1/2 each.
  const auto half = index_wheel(mounted({1, 2}, {3, 4}, {0, 180}, CountedFrom::staying),
                                CountedFrom::staying, kKnown);
  REQUIRE(half.ok());
  CHECK(half->wheel().xx == doctest::Approx(0.5).epsilon(1e-12));
  CHECK(half->mounting().yy == doctest::Approx(0.5).epsilon(1e-12));
  // By phi: variance of R = 2 / |1 - e^(j phi)|^2.
  for (const double phi : {36.0, 72.0, 90.0, 144.0}) {
    const auto found = index_wheel(mounted({1, 2}, {3, 4}, {0, phi}, CountedFrom::staying),
                                   CountedFrom::staying, kKnown);
    REQUIRE(found.ok());
    const double across = 2.0 * std::sin(0.5 * phi * kDegree);
    CHECK(found->wheel().xx == doctest::Approx(2.0 / (across * across)).epsilon(1e-9));
  }
}

TEST_CASE("a reading of one flange only makes the answer less certain, never more") {
  auto mountings = mounted({1, 2}, {3, 4}, {0, 120, 240}, CountedFrom::staying);
  const auto full = index_wheel(mountings, CountedFrom::staying, kKnown);
  mountings[1].one_flange = true;
  const auto one = index_wheel(mountings, CountedFrom::staying, kKnown);
  for (Mounting& mounting : mountings) mounting.one_flange = true;
  const auto all = index_wheel(mountings, CountedFrom::staying, kKnown);
  REQUIRE((full.ok() && one.ok() && all.ok()));
  const auto width = [](const Result<Indexing>& of) {
    return of->wheel().x().high - of->wheel().x().low;
  };
  CHECK(width(one) > 1.02 * width(full));
  CHECK(width(all) == doctest::Approx(std::sqrt(2.0) * width(full)).epsilon(1e-12));
}

TEST_CASE("95 % intervals of wheel and mounting hold, with scatter known or learned") {
  struct Set {
    const char* name;
    std::vector<double> degrees;
    CountedFrom from;
    bool learned, one_flange;
  };
  const Set sets[] = {
      {"half a turn, known", {0, 180}, CountedFrom::staying, false, false},
      {"five studs, known, from the valve", {0, 144}, CountedFrom::turning, false, true},
      {"three mountings, learned", {0, 72, 216}, CountedFrom::staying, true, false},
      {"every stud, learned, from the valve",
       {0, 72, 144, 216, 288},
       CountedFrom::turning,
       true,
       true},
      {"the same twice, learned", {0, 0, 90, 90}, CountedFrom::staying, true, true},
  };
  testing::Trials random(2024);
  for (const Set& set : sets) {
    CAPTURE(set.name);
    std::array<testing::Coverage, 4> held;
    for (int i = 0; i < testing::kTrials; ++i) {
      const Vector mounting(random.even(-5, 5), random.even(-5, 5));
      const Vector wheel(random.even(-5, 5), random.even(-5, 5));
      auto mountings = mounted(mounting, wheel, set.degrees, set.from);
      for (std::size_t k = 0; k < mountings.size(); ++k) {
        mountings[k].one_flange = set.one_flange && k % 2 == 1;
        const double sd = kKnown.sd * (mountings[k].one_flange ? kOneFlangeWidening : 1.0);
        mountings[k].read += Vector(random.normal(sd), random.normal(sd));
      }
      const auto found = index_wheel(mountings, set.from,
                                     set.learned ? std::nullopt : std::optional<Scatter>(kKnown));
      REQUIRE(found.ok());
      held[0].add(found->mounting().x(), mounting.real());
      held[1].add(found->mounting().y(), mounting.imag());
      held[2].add(found->wheel().x(), wheel.real());
      held[3].add(found->wheel().y(), wheel.imag());
    }
    for (const testing::Coverage& coverage : held) testing::check_holds(coverage);
  }
}

TEST_CASE("the mounting alone stands within, beyond or on its limit") {
  const auto found = index_wheel(mounted({3, 0}, {9, 0}, {0, 180}, CountedFrom::staying),
                                 CountedFrom::staying, kKnown);
  REQUIRE(found.ok());
  const Interval mounting = found->mounting().amount();
  CHECK(standing(mounting, 3.2) == Standing::within);
  CHECK(standing(mounting, 3.1) == Standing::unsettled);  // 3 and 0.139: 1.96 times 0.1 / sqrt 2
  CHECK(standing(mounting, 2.9) == Standing::unsettled);
  CHECK(standing(mounting, 2.8) == Standing::beyond);
}

TEST_CASE("mountings that do not agree are told, those that scatter as known are not") {
  testing::Trials random(5);
  int torn = 0, torn_of_learned = 0;
  for (int i = 0; i < 4000; ++i) {
    auto mountings = mounted({1, 2}, {3, 4}, {0, 90, 180, 270}, CountedFrom::staying);
    for (Mounting& mounting : mountings)
      mounting.read += Vector(random.normal(0.1), random.normal(0.1));
    const auto found = index_wheel(mountings, CountedFrom::staying, kKnown);
    torn += found->parts.torn;
    std::vector<Vector> seatings;
    for (int k = 0; k < 4; ++k) seatings.push_back({random.normal(0.1), random.normal(0.1)});
    const auto learned = seating_spread(seatings);
    torn_of_learned +=
        index_wheel(mountings, CountedFrom::staying, learned->mean.scatter)->parts.torn;
  }
  // 1 % of 4000 is 40, give or take 6.
  CHECK(torn > 20);
  CHECK(torn < 60);
  CHECK(torn_of_learned > 20);
  CHECK(torn_of_learned < 60);
  auto moved = mounted({1, 2}, {3, 4}, {0, 90, 180, 270}, CountedFrom::staying);
  moved[2].read += Vector(2.0, 0.0);
  CHECK(index_wheel(moved, CountedFrom::staying, kKnown)->parts.torn);
}

TEST_CASE("mountings that settle nothing are refused") {
  const Vector read(1.0, 0.0);
  const auto refused = [](const std::vector<Mounting>& mountings,
                          const std::optional<Scatter>& known) {
    const auto found = index_wheel(mountings, CountedFrom::staying, known);
    return found.ok() ? std::string() : found.error().what;
  };
  CHECK(refused({{0.0, read, false}}, kKnown) == "one reading does not tell two parts apart");
  CHECK(refused({{1.0, read, false}, {1.0, read, false}}, kKnown) ==
        "all readings are at one turn: they do not tell two parts apart");
  CHECK(refused({{0.0, read, false}, {6.28, read, false}}, kKnown) ==
        "all readings are at one turn: they do not tell two parts apart");
  CHECK(refused({{0.0, read, false}, {7.0, read, false}}, kKnown) ==
        "a part is said to be turned by a whole turn or more");
  CHECK(refused({{0.0, read, false}, {2.0, read, false}}, std::nullopt) ==
        "two readings do not say how far they scatter");
  CHECK(refused({{0.0, read, false}, {2.0, read, false}}, kKnown).empty());
}
