// The shaft's critical speed as a tool of the bay.
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::number_of, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

TEST_CASE("a tube's critical speed, its share, and what goes into the case") {
  const Json answer = reckoned("shaft_speed",
                               {{"length", "60 in"},
                                {"diameter", "3.5 in"},
                                {"wall", "0.083 in"},
                                {"shaft_speed", "5100 rpm"}},
                               "rear_shaft");
  // Beam theory for steel, 3.5 x 0.083 in, 60 in: 6393 rpm.
  CHECK(number_of(answer, "critical_speed_hz") == doctest::Approx(6393.0 / 60.0).epsilon(1e-3));
  CHECK(number_of(answer, "safe_speed_hz") == doctest::Approx(0.75 * 6393.0 / 60.0).epsilon(1e-3));
  CHECK(says(answer, "6393 rpm"));
  // People read rpm, in words and in the table; JSON keeps Hz.
  CHECK(answer["numbers"][0]["text"].get<std::string>().rfind("6390 rpm (", 0) == 0);
  CHECK(answer["numbers"][1]["text"].get<std::string>().find(" rpm to ") != std::string::npos);
  REQUIRE(answer["entries"].size() == 1);
  const Json& entry = answer["entries"][0];
  CHECK(entry["fact"] == "shaft_speed_share");
  CHECK(entry["place"] == "rear_shaft");
  CHECK(entry["with"]["reckoned"] == "shaft_speed");
  CHECK(entry["with"]["length"] == "60 in");
  CHECK(answer["limits"][0]["finding"] == "between");  // 0.80 of 0.75 to 0.9
  CHECK(answer["cautions"].size() == 2);
}

TEST_CASE("without its place a reading is not kept, and the tool says which") {
  const Json answer = reckoned(
      "shaft_speed",
      {{"length", "1500 mm"}, {"diameter", "90 mm"}, {"wall", "2 mm"}, {"shaft_speed", "60 Hz"}});
  CHECK(answer["entries"].empty());
  CHECK(answer["place_needed"] == Json{"shaft_speed_share"});
}

TEST_CASE("what no shaft can be is refused in words, all of it at once") {
  CHECK(refused("shaft_speed", {{"diameter", "3 mm"}, {"wall", "2"}, {"mass", "3 kg"}}) ==
        "/given/mass: there is no field \"mass\"\n"
        "/given/length: length between joint centres is not given\n"
        "/given/diameter: outside diameter cannot be 3 mm\n"
        "/given/wall: \"2\" has no unit\n");
  CHECK(refused("shaft_speed", {{"length", "1 m"}, {"diameter", "60 mm"}, {"wall", "40 mm"}}) ==
        "/given/length: the wall is thicker than half of the outside diameter\n");
}
