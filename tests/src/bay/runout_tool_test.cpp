// Runout by the dial as a tool of the bay.
#include <cmath>
#include <numbers>
#include <utility>
#include <vector>

#include "src/answers/answers.h"
#include "tests/src/bay/reckon.h"

using namespace perrev;
using test::notes, test::number_of, test::reckoned, test::refused, test::says;
using Json = nlohmann::ordered_json;

namespace {

// Readings in hundredths of a millimetre, evenly round the turn.
Json dial_rows(const std::vector<int>& hundredths) {
  Json out = Json::array();
  for (const int reading : hundredths) {
    const std::string digits = std::to_string(std::abs(reading));
    out.push_back(Json{(reading < 0 ? "-" : "") + std::string("0.") +
                       std::string(digits.size() < 2 ? 2 - digits.size() : 0, '0') + digits +
                       " mm"});
  }
  return out;
}

Json placed(const std::vector<std::pair<const char*, const char*>>& rows) {
  Json out = Json::array();
  for (const auto& row : rows) out.push_back(Json::array({row.first, row.second}));
  return out;
}

}  // namespace

TEST_CASE("readings round the tread give its total, its first harmonic and its high place") {
  // 0.35 mm off centre to 90 degrees, to the dial's hundredth: 2 / 8 of the sum of reading times
  // sine is 0.3492.
  const Json answer = reckoned(
      "runout", {{"readings", dial_rows({0, 25, 35, 25, 0, -25, -35, -25})}}, "left_front");
  CHECK(number_of(answer, "total_runout_mm") == doctest::Approx(0.70).epsilon(1e-6));
  CHECK(number_of(answer, "eccentricity_mm") ==
        doctest::Approx((35.0 + 50.0 * std::numbers::sqrt2 / 2.0) / 200.0).epsilon(1e-4));
  CHECK(number_of(answer, "first_harmonic_mm") ==
        doctest::Approx(2.0 * number_of(answer, "eccentricity_mm")).epsilon(1e-5));
  CHECK(number_of(answer, "high_place_deg") == doctest::Approx(90.0).epsilon(1e-6));
  CHECK(says(answer, "The tread runs out by 0.7 mm"));
  CHECK(says(answer, "highest at 90 deg (3 o'clock)"));
  CHECK(notes(answer, "clears neither tire nor wheel"));
  REQUIRE(answer["entries"].size() == 1);
  CHECK(answer["entries"][0]["fact"] == "tread_radial_runout");
  CHECK(answer["entries"][0]["value"] == "0.7 mm");
  CHECK(answer["limits"][0]["finding"] == "between");  // 0.5 to 1.0 mm
  CHECK(answer["svg"].get<std::string>().find("<svg") != std::string::npos);
  CHECK(!answer["cautions"].empty());
}

TEST_CASE("every place of the dial feeds its own fact") {
  struct Row {
    const char *where, *fact, *place;
  };
  for (const Row& row : {Row{"tread", "tread_radial_runout", "left_front"},
                         {"sidewall", "sidewall_lateral_runout", "right_rear"},
                         {"rim_radial", "rim_radial_runout", "left_front"},
                         {"rim_lateral", "rim_lateral_runout", "left_front"},
                         {"hub_face", "hub_face_runout", "left_front"},
                         {"hub_pilot", "hub_pilot_runout", "left_front"},
                         {"drum", "drum_runout", "left_rear"},
                         {"shaft_middle", "shaft_runout", "rear_shaft"},
                         {"shaft_end", "shaft_end_runout", "rear_shaft"},
                         {"flange", "flange_runout", "rear_shaft"}}) {
    CAPTURE(row.where);
    const Json answer = reckoned("runout", {{"where", row.where}, {"total", "0.30 mm"}}, row.place);
    REQUIRE(answer["entries"].size() == 1);
    CHECK(answer["entries"][0]["fact"] == row.fact);
    CHECK(answer["entries"][0]["value"] == "0.3 mm");
    CHECK(answer["svg"].is_null());
    CHECK(says(answer, "the total alone tells neither"));
  }
}

TEST_CASE("the limit of a rim goes by what it is made of") {
  const Json total = {{"where", "rim_radial"}, {"total", "0.9 mm"}};
  CHECK(reckoned("runout", total, "left_front", "alloy")["limits"][0]["finding"] == "bad");
  CHECK(reckoned("runout", total, "left_front", "steel")["limits"][0]["finding"] == "between");
  CHECK(reckoned("runout", total, "left_front")["limits"][0]["finding"].is_null());
}

TEST_CASE("a reading that stands out is told by its number and counts") {
  const Json answer = reckoned(
      "runout", {{"where", "rim_radial"},
                 {"readings", dial_rows({20, 17, 10, 0, -10, 42, -20, -17, -10, 0, 10, 17})},
                 {"repeatability", "0.01 mm"}});
  CHECK(says(answer, "Reading 6 stands"));
  CHECK(says(answer, "above what the others say"));
  CHECK(number_of(answer, "total_runout_mm") == doctest::Approx(0.62).epsilon(1e-6));
}

TEST_CASE("a row left empty is a place left out, and the others stay where they are") {
  const Json even = dial_rows({20, 17, 10, 0, -10, 42, -20, -17, -10, 0, 10, 17});
  Json without = even;
  without[5] = Json::array({""});
  const Json answer = reckoned("runout", {{"where", "rim_radial"}, {"readings", without}});
  CHECK(!says(answer, "stands"));
  CHECK(number_of(answer, "total_runout_mm") == doctest::Approx(0.40).epsilon(1e-6));
  CHECK(number_of(answer, "first_harmonic_mm") == doctest::Approx(0.40).epsilon(0.02));
  CHECK(refused("runout", {{"readings", Json::array({{""}, {""}, {""}, {"0 mm"}})}}) ==
        "/given/readings: 1 reading settles no runout\n");
}

TEST_CASE("readings at their own places: the order does not matter") {
  const Json one = reckoned("runout", {{"readings", placed({{"0.21 mm", "10 deg"},
                                                            {"0.47 mm", "80 deg"},
                                                            {"0.48 mm", "4:30"},
                                                            {"0.25 mm", "200 deg"},
                                                            {"0.0 mm", "10 o'clock"}})}});
  const Json other = reckoned("runout", {{"readings", placed({{"0.0 mm", "300 deg"},
                                                              {"0.47 mm", "80 deg"},
                                                              {"0.25 mm", "200 deg"},
                                                              {"0.21 mm", "10 deg"},
                                                              {"0.48 mm", "135 deg"}})}});
  for (const char* id : {"eccentricity_mm", "high_place_deg", "total_runout_mm"})
    CHECK(number_of(one, id) == doctest::Approx(number_of(other, id)).epsilon(1e-5));
  CHECK(notes(one, "read eight places or more"));
}

TEST_CASE("runouts that cannot be are refused at their field") {
  const Json fine = dial_rows({0, 25, 0, -25});
  CHECK(refused("runout", Json::object()) == "/given/total: there is no reading\n");
  CHECK(refused("runout", {{"readings", dial_rows({0, 25, 0})}}) ==
        "/given/readings: there are 3 of them\n");
  CHECK(refused("runout", {{"readings", fine}, {"total", "0.2 mm"}}) ==
        "/given/readings: the total of 0.2 mm is less than the 0.5 mm between the readings "
        "themselves\n");
  CHECK(refused("runout", {{"readings", {{"0 mm"}, {"20 mm"}, {"0 mm"}, {"-20 mm"}}}}) ==
        "/given/readings: the readings lie 40 mm apart, beyond 25 mm\n");
  CHECK(refused("runout", {{"readings", placed({{"0 mm", "0 deg"},
                                                {"0.1 mm", "90 deg"},
                                                {"0 mm", "90 deg"},
                                                {"0 mm", "270 deg"}})}}) ==
        "/given/readings: reading 2 and reading 3 stand at the same place\n");
  CHECK(refused("runout",
                {{"readings",
                  placed({{"0 mm", "0 deg"}, {"0.1 mm", ""}, {"0 mm", ""}, {"0 mm", ""}})}}) ==
        "/given/readings: some readings have a place and some have none\n");
  CHECK(refused("runout", {{"where", "roof"}, {"total", "1 mm"}}) ==
        "/given/where: \"roof\" is none of the choices\n");
}

TEST_CASE("one reading that spoils a turn is told, and the open runout is not kept") {
  const Json answer = reckoned("runout",
                               {{"readings",
                                 {{"0 mm"},
                                  {"0.30 mm"},
                                  {"0.55 mm"},
                                  {"2.70 mm"},
                                  {"0.60 mm"},
                                  {"0.35 mm"},
                                  {"0.10 mm"},
                                  {"0 mm"}}}},
                               "left_front");
  CHECK(says(answer, "The readings are no smooth turn"));
  CHECK(answer["entries"].empty());
  CHECK(notes(answer, "leave open whether 2.7 mm"));
  const Json smooth =
      reckoned("runout", {{"readings", dial_rows({5, 30, 55, 70, 60, 35, 10, 0})}}, "left_front");
  CHECK(!says(smooth, "no smooth turn"));
  CHECK(smooth["entries"].size() == 1);
}

TEST_CASE("a plot is as wide as the request has room for, and no wider") {
  const auto width_of = [](const char* tool, const Json& given, const Json& width) {
    Json request = {{"tool", tool}, {"given", given}};
    if (!width.is_null()) request["width"] = width;
    const Answerer answerer(test::shipped_rules());
    const Json answer = Json::parse(answerer.answer("bay", request.dump()));
    REQUIRE(answer.contains("ok"));
    const auto svg = answer["ok"]["svg"].get<std::string>();
    return std::stod(svg.substr(svg.find(" width=\"") + 8));
  };
  const Json round = {{"readings", {{"0 mm"}, {"0.2 mm"}, {"0.5 mm"}, {"0.2 mm"}}}};
  const Json slopes = {{"parts", {{"4.2 deg"}, {"1.0 deg"}, {"3.1 deg"}}}};
  const Json rotor = {{"thickness", {{"25.01 mm"}, {"25.02 mm"}, {"25.03 mm"}, {"25.02 mm"}}}};
  for (const auto& [tool, given] :
       {std::pair("runout", round), std::pair("joint_angles", slopes), std::pair("rotor", rotor)}) {
    CAPTURE(tool);
    const double usual = width_of(tool, given, nullptr);
    CHECK(usual >= 520.0);
    CHECK(width_of(tool, given, 520) == usual);
    CHECK(width_of(tool, given, 230) <= usual - 200.0);
    CHECK(width_of(tool, given, 1e9) < 1400.0);
    CHECK(width_of(tool, given, "wide") == usual);
  }
}
