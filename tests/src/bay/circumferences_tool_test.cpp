// Circumferences of the four tires as a tool of the bay.
#include "src/answers/open_case.h"
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::number_of, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

TEST_CASE("four taped tires: which differ, by how much, and what that does at a speed") {
  const Json answer = reckoned("circumferences",
                               {{"circumferences", {{"2010 mm", "2010 mm", "1990 mm", "1990 mm"}}},
                                {"speed", "108 km/h"},
                                {"axle_ratio", "3.7"}});
  CHECK(number_of(answer, "most_ratio") == doctest::Approx(0.01).epsilon(1e-6));
  CHECK(number_of(answer, "between_axles_ratio") == doctest::Approx(0.01).epsilon(1e-6));
  CHECK(number_of(answer, "across_front_ratio") == doctest::Approx(0.0));
  // 30 m/s / 2 m x 3.7 x 1 %, the rear faster; one wheel alone 15 Hz x 1 %: 6.7 s.
  CHECK(number_of(answer, "coupling_slip_hz") == doctest::Approx(-0.555).epsilon(1e-3));
  CHECK(number_of(answer, "beat_period_s") == doctest::Approx(1.0 / 0.15).epsilon(1e-3));
  CHECK(says(answer, "the rear shaft turns 33 rpm faster"));
  REQUIRE(answer["entries"].size() == 1);
  CHECK(answer["entries"][0]["fact"] == "circumference_difference");
  CHECK(answer["limits"][0]["finding"] == "bad");  // 1 % and more
}

TEST_CASE("marks on the floor over some turns are shared out over them") {
  const Json answer =
      reckoned("circumferences",
               {{"circumferences",
                 {{"10.05 m", "10.05 m", "10 m", "10 m"}, {"10.05 m", "10.05 m", "10 m", "10 m"}}},
                {"turns", "5"}});
  CHECK(number_of(answer, "most_ratio") == doctest::Approx(0.05 / 10.025).epsilon(1e-6));
  CHECK(answer["limits"][0]["finding"] == "good");
  for (const Json& number : answer["numbers"]) CHECK(number["id"] != "beat_period_s");
}

TEST_CASE("without a case tread alone says nothing, and wheels of no vehicle are refused") {
  CHECK(refused("circumferences", {{"treads", {{"8 mm", "8 mm", "4 mm", "4 mm"}}}}) ==
        "/given/circumferences: neither circumferences nor a case with the tire size is given\n");
  CHECK(refused("circumferences", {{"circumferences", {{"2 m", "2 m", "2 m", "20 m"}}}}) ==
        "/given/circumferences: no road wheel is that far round\n");
  CHECK(refused("circumferences", {{"circumferences", {{"2 m", "2 m", "2 m"}}}}) ==
        "/given/circumferences/0/3: right rear is not given in row 1\n");
}

TEST_CASE("with a case, tread depths are enough, and its speed and axle ratio are taken") {
  Json text = {{"perrev_case", 1}, {"label", "Four by four"}, {"entries", Json::array()}};
  const auto enter = [&](const char* fact, const char* value) {
    text["entries"].push_back({{"id", std::to_string(text["entries"].size() + 1)},
                               {"at", "2026-05-04T11:20:00Z"},
                               {"by", "bay"},
                               {"fact", fact},
                               {"value", value}});
  };
  enter("tire_size", "225/60R16");
  enter("driven_axle", "all");
  enter("axle_ratio", "3.42");
  enter("worst_speed", "60 mph");
  const auto open = read_case("case", text.dump(), test::shipped_rules());
  REQUIRE(open.ok());
  const BayContext context{test::shipped_rules(), &open->facts, Units::metric, {}, {}};
  const BayTool& tool = *bay_tool("circumferences");
  const auto answer = bay_answer(tool, {{"treads", {{"8 mm", "8 mm", "3 mm", "3 mm"}}}}, context);
  REQUIRE(answer.ok());
  const Json said = to_json(tool, *answer, context);
  // Worn by 5 mm all round would be 1.48 % of 676.4 mm; the belt holds on to a part of it.
  const double most = number_of(said, "most_ratio");
  CHECK(most > 0.004);
  CHECK(most < 0.0148);
  // 60 mph is 13.0 Hz of these wheels.
  CHECK(number_of(said, "coupling_slip_hz") == doctest::Approx(-13.0 * 3.42 * most).epsilon(0.02));
}
