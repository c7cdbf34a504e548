// A place that is read by eye: what its error does to amounts and places that are worked out.
#include "src/answers/bay/place_error.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "engine/random.h"
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::reckoned;
using Json = nlohmann::ordered_json;

namespace {

constexpr double kDeg = std::numbers::pi / 180.0;
constexpr double kPlaceSd = 2.5 * kDeg;
constexpr int kTrials = 4000;
// Of 4000 trials of 95 %: three standard deviations, sqrt(0.95 * 0.05 / 4000) = 0.0034.
constexpr double kFew = 0.9397, kMany = 0.9603;

bool holds(const Interval& said, double truth) { return said.low <= truth && truth <= said.high; }

// As a person reads it: the amount by a gauge, the place by eye.
Vector as_read(Vector truth, double amount_sd, Random& random) {
  return vector_at(std::abs(truth) + amount_sd * random.normal(),
                   std::arg(truth) + kPlaceSd * random.normal());
}

}  // namespace

TEST_CASE("of an amount and its place each lies within its interval 19 times in 20") {
  Random random(11);
  const Vector truth = vector_at(1.5e-3, 70 * kDeg);
  constexpr double kAmountSd = 0.05e-3;
  int amounts = 0, places = 0;
  for (int i = 0; i < kTrials; ++i) {
    const Vector read = as_read(truth, kAmountSd, random);
    const VectorEstimate of = vector_read(std::abs(read), std::arg(read), kAmountSd, kPlaceSd);
    amounts += holds(of.amount(), std::abs(truth));
    places += std::abs(std::arg(of.value / truth)) <= of.angle_half_width();
  }
  for (const double share : {amounts / double(kTrials), places / double(kTrials)}) {
    CHECK(share >= kFew);
    CHECK(share <= kMany);
  }
}

TEST_CASE("a wheel turned between two readings: no part's interval is too narrow for its places") {
  // Wheel 1.2 mm, hub 0.9 mm, two studs of five: each place counts for more than the dial does.
  const Vector wheel = vector_at(1.2e-3, 30 * kDeg), hub = vector_at(0.9e-3, 100 * kDeg);
  constexpr double kTurned = 144 * kDeg, kAmountSd = 0.03e-3;
  Random random(12);
  int wheels = 0, hubs = 0, without = 0;
  for (int i = 0; i < kTrials; ++i) {
    const std::vector<TurnedReading> readings{
        {0.0, as_read(hub + wheel, kAmountSd, random)},
        {kTurned, as_read(hub + wheel * vector_at(1.0, kTurned), kAmountSd, random)}};
    const auto split =
        split_turned(readings, CountedFrom::staying, with_places(kAmountSd, readings, kPlaceSd));
    REQUIRE(split.ok());
    wheels += holds(split->turning().amount(), std::abs(wheel));
    hubs += holds(split->staying().amount(), std::abs(hub));
    const auto blind = split_turned(readings, CountedFrom::staying, Scatter{kAmountSd});
    without += holds(blind->turning().amount(), std::abs(wheel));
  }
  CHECK(wheels >= kFew * kTrials);
  CHECK(hubs >= kFew * kTrials);
  CHECK(without < 0.9 * kTrials);  // the dial alone would promise too much
}

TEST_CASE("every tool that takes places read by eye widens with them, and can be told better") {
  struct Row {
    const char *tool, *number;
    Json given;
  };
  const Json turned = {{"1.0 mm", "40 deg", "0 deg"}, {"0.8 mm", "150 deg", "144 deg"}};
  const Json one = Json::array({Json{"1.0 mm", "40 deg"}});
  for (const Row& row :
       {Row{"indexing", "wheel_mm", {{"counted_from", "shaft"}, {"runout", turned}}},
        Row{"match_mount", "tire_n", {{"runouts", turned}, {"wheel", "precise"}}},
        Row{"match_mount",
            "now_n",
            {{"tire_runout", "1.0 mm"},
             {"tire_place", "40 deg"},
             {"rim_runout", "0.9 mm"},
             {"rim_place", "150 deg"}}},
        Row{"runout_parts",
            "on_less_off_mm",
            {{"on_car", one}, {"off_car", Json::array({Json{"0.9 mm", "120 deg"}})}}},
        Row{"rotor",
            "own_runout_mm",
            {{"on_hub", one}, {"hub", Json::array({Json{"0.9 mm", "120 deg"}})}}}}) {
    CAPTURE(row.tool);
    const auto width = [&](const char* place_sd) {
      Json given = row.given;
      if (*place_sd) given["place_sd"] = place_sd;
      const Json answer = reckoned(row.tool, given);
      for (const Json& number : answer["numbers"])
        if (number["id"] == row.number)
          return number["high"].get<double>() - number["low"].get<double>();
      FAIL("there is no number " << row.number);
      return 0.0;
    };
    CHECK(width("") == doctest::Approx(width("2.5 deg")));
    CHECK(width("0 deg") < width(""));
    CHECK(width("10 deg") > width(""));
  }
}
