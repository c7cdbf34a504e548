// Nuts, tires and bearing play as tools of the bay.
#include <array>

#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::kept, test::number_of, test::reckoned, test::refused, test::says, test::warns;
using Json = nlohmann::ordered_json;

TEST_CASE("a loose nut is told, stops the drive, and is never just tightened") {
  const Json answer = reckoned(
      "nuts",
      {{"torques", {"120 N m", "110 N m", "40 N m", "0 N m", "118 N m"}}, {"stated", "120 N m"}},
      "left_front");
  CHECK(says(answer, "Nut 3 is loose"));
  CHECK(says(answer, "Nut 4 is missing"));
  CHECK(says(answer, "uneven"));
  CHECK(kept(answer, "nuts_loose_found") == "yes");
  CHECK(warns(answer, "never simply tightened again"));
  CHECK(number_of(answer, "below_3_ratio") == doctest::Approx(2.0 / 3.0).epsilon(1e-4));
}

TEST_CASE("nuts that are low are neither loose nor sound") {
  const Json low = reckoned(
      "nuts",
      {{"torques", {"90 lb ft", "70 lb ft", "95 lb ft", "92 lb ft"}}, {"stated", "90 lb ft"}},
      "left_front");
  CHECK(says(low, "Nut 2 is low"));
  CHECK(low["entries"].empty());
  const Json sound = reckoned(
      "nuts",
      {{"torques", {"90 lb ft", "88 lb ft", "95 lb ft", "92 lb ft"}}, {"stated", "90 lb ft"}},
      "left_front");
  CHECK(kept(sound, "nuts_loose_found") == "no");
  CHECK(sound["notes"][0].get<std::string>().find("a nut's seat") != std::string::npos);
  CHECK(refused("nuts", {{"torques", {"90 N m", "88 N m"}}, {"stated", "90 N m"}}) ==
        "/given/torques: there are 2 of them\n");
  CHECK(refused("nuts", {{"torques", {"90 N m", "88 N m", "900 N m"}}, {"stated", "90 N m"}}) ==
        "/given/torques: a nut's torque is no reading of a torque wrench\n");
}

TEST_CASE("a warm tire is compared as it would be cold") {
  const Json answer = reckoned(
      "tires", {{"found", "250 kPa"}, {"label", "220 kPa"}, {"warmer", "25 K"}}, "left_rear");
  // 351.3 kPa x 293.15 / 318.15 - 101.3 kPa: gas law, by hand.
  CHECK(number_of(answer, "cold_pressure_kpa") == doctest::Approx(222.4).epsilon(1e-3));
  CHECK(number_of(answer, "deviation_ratio") == doctest::Approx(0.0108).epsilon(0.02));
  CHECK(says(answer, "over the label"));
  CHECK(!kept(answer, "pressure_deviation").empty());
  CHECK(!kept(answer, "pressure_found").empty());
  CHECK(answer["limits"][0]["finding"] == "good");
}

TEST_CASE("a tire far under its label is not just pumped up") {
  const Json answer = reckoned("tires", {{"found", "22 psi"}, {"label", "33 psi"}}, "left_rear");
  CHECK(number_of(answer, "deviation_ratio") == doctest::Approx(-1.0 / 3.0).epsilon(1e-4));
  CHECK(answer["limits"][0]["finding"] == "bad");
  CHECK(warns(answer, "driven flat"));
}

TEST_CASE("tread over the width tells the worn side and the law of the place") {
  const Json answer = reckoned(
      "tires", {{"grooves", {{"1.5 mm"}, {"4 mm"}, {"4.2 mm"}, {"4 mm"}}}, {"legal", "1.6 mm"}},
      "right_front");
  CHECK(number_of(answer, "tread_depth_mm") == doctest::Approx(1.5));
  CHECK(says(answer, "inside is worn more"));
  CHECK(warns(answer, "Under the legal depth"));
  CHECK(kept(answer, "tread_depth") == "1.5 mm");
}

TEST_CASE("air is blamed for wear of both shoulders or of the middle, never of one side") {
  const auto worn = [](Json grooves) {
    return reckoned("tires", {{"grooves", std::move(grooves)}}, "left_front");
  };
  const Json one_side = worn({{"3 mm"}, {"6 mm"}, {"7 mm"}, {"7 mm"}});
  CHECK(says(one_side, "inside is worn more"));
  CHECK(!says(one_side, "too little air"));
  CHECK(says(worn({{"3 mm"}, {"6 mm"}, {"6 mm"}, {"3.5 mm"}}), "too little air"));
  CHECK(says(worn({{"6 mm"}, {"4 mm"}, {"4 mm"}, {"6.5 mm"}}), "too much air"));
}

TEST_CASE("dates of making: the oldest counts, to the day given") {
  const Json answer = reckoned("tires", {{"dates", {"2319", "0120", "2319", "5218"}},
                                         {"year", "2026"},
                                         {"month", "6"},
                                         {"day", "1"}});
  CHECK(number_of(answer, "age_years") == doctest::Approx(7.42).epsilon(0.005));
  CHECK(kept(answer, "tire_age") == "over_six_years");
  const Json one =
      reckoned("tires", {{"dates", {"2325"}}, {"year", "2026"}, {"month", "6"}, {"day", "1"}});
  CHECK(one["entries"].empty());
  CHECK(refused("tires", {{"dates", {"2319"}}}) ==
        "/given/year: the day to count to is not given\n");
  CHECK(refused("tires", {{"dates", {"5419"}}, {"year", "2026"}, {"month", "6"}, {"day", "1"}}) ==
        "/given/dates/0: a year has no such week\n");
  CHECK(refused("tires", {{"dates", {"2319"}}, {"year", "2026"}, {"month", "2"}, {"day", "30"}}) ==
        "/given/day: that month of that year has no such day\n");
  CHECK(refused("tires", {{"dates", {"2319"}}, {"year", "2026"}, {"day", "3"}}) ==
        "/given/month: the day to count to is not given\n");
  CHECK(refused("tires",
                {{"dates", {"2319.5"}}, {"year", "2026.5"}, {"month", "2.5"}, {"day", "1.5"}}) ==
        "/given/dates/0: four figures cannot be 2319.5\n"
        "/given/year: year of the check cannot be 2026.5\n"
        "/given/month: month cannot be 2.5\n"
        "/given/day: day cannot be 1.5\n");
  CHECK(refused("tires", Json::object()) == "/given/found: nothing of the tire is given\n");
  CHECK(refused("tires", {{"found", "200 kPa"}}) ==
        "/given/label: one pressure alone says nothing of the other\n");
}

TEST_CASE("bearing play is judged by its kind") {
  const auto dial = [](std::initializer_list<std::array<const char*, 2>> rows) {
    Json readings = Json::array();
    for (const auto& row : rows) readings.push_back(Json::array({row[0], row[1]}));
    return Json{{"readings", readings}};
  };
  const Json given = dial({{"0 mm", "0.08 mm"}, {"0.01 mm", "0.08 mm"}});
  const Json unit = reckoned("bearing_play", given, "left_front", "unit");
  CHECK(number_of(unit, "play_mm") == doctest::Approx(0.075));
  CHECK(kept(unit, "bearing_play") == "0.075 mm");
  CHECK(unit["limits"][0]["finding"] == "bad");
  CHECK(reckoned("bearing_play", given, "left_front", "adjustable")["limits"][0]["finding"] ==
        "good");
  CHECK(reckoned("bearing_play", given, "left_front")["limits"][0]["finding"].is_null());
  Json none = dial({{"0 mm", "0 mm"}});
  none["bearing"] = "adjustable";
  const Json tight = reckoned("bearing_play", none, "left_front");
  CHECK(warns(tight, "too tight"));
  CHECK(tight["limits"][0]["rows"].size() == 1);
  CHECK(kept(tight, "bearing_kind") == "adjustable");
  CHECK(refused("bearing_play", dial({{"0 mm", "80 mm"}})) ==
        "/given/readings/0/1: pulled out cannot be 80 mm\n");
}
