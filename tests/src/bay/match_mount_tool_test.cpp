// Match mounting as a tool of the bay.
#include <cmath>

#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::number_of, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

TEST_CASE("tire and rim by themselves: how far to turn, what is left") {
  // 90 N at 70 deg on 0.30 mm at 200 deg times 200 N/mm: 68.98 N now, best 30, worst 150, tire 50
  // deg back (vectors, by hand).
  const Json answer = reckoned("match_mount",
                               {{"tire_force", "90 N"},
                                {"tire_place", "70 deg"},
                                {"rim_runout", "0.30 mm"},
                                {"rim_place", "200 deg"}},
                               "left_front", "other");
  CHECK(std::abs(number_of(answer, "now_n") - 68.98) < 0.01);
  CHECK(number_of(answer, "best_n") == doctest::Approx(30.0).epsilon(1e-6));
  CHECK(number_of(answer, "worst_n") == doctest::Approx(150.0).epsilon(1e-6));
  CHECK(number_of(answer, "turn_deg") == doctest::Approx(-50.0).epsilon(1e-6));
  CHECK(
      says(answer, "50 deg counter-clockwise (what stands at 12 o'clock comes to 10:30 o'clock)"));
  CHECK(says(answer, "now at 70 deg (2:30 o'clock), then meets the rim's low one at 20 deg"));
  CHECK(says(answer, "leaves 6 N to 45 N at the best place"));
  REQUIRE(answer["entries"].size() == 1);
  CHECK(answer["entries"][0]["fact"] == "rim_radial_runout");
  CHECK(answer["entries"][0]["value"] == "0.3 mm");
  CHECK(answer["cautions"].size() == 2);
  CHECK(answer["svg"].is_string());
}

TEST_CASE("two mountings of the tire: the turn counts from where the tire is now") {
  // Rim 60 N at 200 deg, tire 90 N at 70 deg; turned half round it stands at 250: 136.54 N at
  // 230.33 deg. The best place is 310 deg, 130 from there (vectors, by hand).
  const Json rows = {{"68.98 N", "111.79 deg", "0 deg"}, {"136.5 N", "230.33 deg", "180 deg"}};
  const Json given = {{"forces", rows}, {"wheel", "precise"}};
  const Json answer = reckoned("match_mount", given, "left_front", "other");
  CHECK(std::abs(number_of(answer, "rim_n") - 60.0) < 0.1);
  CHECK(std::abs(number_of(answer, "tire_n") - 90.0) < 0.1);
  CHECK(std::abs(number_of(answer, "turn_deg") - 130.0) < 0.2);
  CHECK(says(answer, "130 deg clockwise (what stands at 12 o'clock comes to 4:30 o'clock)"));
  CHECK(says(answer, "It is worth"));
  REQUIRE(answer["entries"].size() == 1);
  CHECK(answer["entries"][0]["fact"] == "radial_force_first");
  CHECK(answer["entries"][0]["value"] == "136.5 N");
  // The same wheel read from a chalk line on the tire: the second place is 180 deg less.
  const Json from_tire = reckoned(
      "match_mount",
      {{"forces", {{"68.98 N", "111.79 deg", "0 deg"}, {"136.5 N", "50.33 deg", "180 deg"}}},
       {"counted_from", "tire"}});
  CHECK(number_of(from_tire, "turn_deg") ==
        doctest::Approx(number_of(answer, "turn_deg")).epsilon(1e-6));
}

TEST_CASE("what seating may take away is not worth the labour") {
  const auto worth = [](const char* tire, const char* place, const char* rim, const char* wheel) {
    return reckoned("match_mount",
                    {{"tire_force", tire},
                     {"tire_place", place},
                     {"rim_runout", rim},
                     {"rim_place", "0 deg"},
                     {"wheel", wheel},
                     {"stiffness", "200 N"}},
                    "", "other");
  };
  // 12 lb, 53.4 N, is the limit of a car.
  CHECK(says(worth("20 N", "180 deg", "0.1 mm", "ordinary"), "It need not be turned"));
  CHECK(says(worth("200 N", "0 deg", "0.2 mm", "ordinary"), "the tire is the larger part"));
  CHECK(says(worth("40 N", "0 deg", "0.9 mm", "ordinary"), "the rim is the larger part"));
  CHECK(says(worth("70 N", "130 deg", "0.2 mm", "ordinary"), "not worth the labour"));
  CHECK(says(worth("60 N", "0 deg", "0.25 mm", "ordinary"), "It is worth a try"));
  CHECK(says(worth("50 N", "0 deg", "0.25 mm", "precise"), "It is worth the labour"));
}

TEST_CASE("runout of the assembly with the tire turned between gives the tire's own") {
  // Rim 0.3 mm at 90 deg and tire 0.6 mm at 90 deg, then the tire half a turn on: 0.9, 0.3 at 270.
  const Json answer =
      reckoned("match_mount",
               {{"runouts", {{"0.9 mm", "90 deg", "0 deg"}, {"0.3 mm", "270 deg", "180 deg"}}}},
               "right_front");
  CHECK(number_of(answer, "tire_n") == doctest::Approx(120.0).epsilon(1e-3));
  CHECK(number_of(answer, "rim_n") == doctest::Approx(60.0).epsilon(1e-3));
  CHECK(std::abs(number_of(answer, "turn_deg")) < 1e-6);
  CHECK(says(answer, "not at all from where it is"));
  REQUIRE(answer["entries"].size() == 1);
  CHECK(answer["entries"][0]["fact"] == "tire_own_runout");
  CHECK(answer["entries"][0]["value"] == "0.6 mm");
}

TEST_CASE("half a story of tire and rim is refused in words") {
  CHECK(refused("match_mount", Json::object()) ==
        "/given/forces: one way to tell tire and rim apart is wanted\n");
  CHECK(refused("match_mount", {{"tire_force", "90 N"}, {"tire_place", "70 deg"}}) ==
        "/given/rim_runout: this is wanted beside the tire's own reading\n");
  CHECK(refused("match_mount", {{"rim_runout", "0.3 mm"}, {"rim_place", "70 deg"}}) ==
        "/given/tire_force: the tire is wanted as force or as runout\n");
  CHECK(refused("match_mount",
                {{"forces", {{"90 N", "0 deg", "0 deg"}, {"60 N", "0 deg", "0 deg"}}}}) ==
        "/given/forces: all readings are at one turn: they do not tell two parts apart\n");
}
