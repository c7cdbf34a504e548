// `perrev orders`: lines, peaks, how fast it feels, and what swells.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

using namespace perrev::test;
using Json = nlohmann::json;

namespace {

std::vector<std::string> pickup(const std::vector<std::string>& more) {
  std::vector<std::string> out = {"orders",       "--tire", "265/70R17",   "--driven", "rear",
                                  "--axle-ratio", "3.73",   "--cylinders", "8",        "--speed",
                                  "58 mph",       "--by",   "gps",         "--rpm",    "1650"};
  out.insert(out.end(), more.begin(), more.end());
  return out;
}

Json json_of(std::vector<std::string> arguments) {
  arguments.push_back("--json");
  const Ran ran = run_perrev(arguments);
  REQUIRE(ran.code == 0);
  return Json::parse(ran.out);
}

std::size_t line_of(const Json& said, const std::string& source, double order) {
  for (std::size_t i = 0; i < said["lines"].size(); ++i)
    if (said["lines"][i]["source"] == source && said["lines"][i]["order"] == order) return i;
  FAIL("no line " << source << " " << order);
  return 0;
}

double probability(const Json& said, const std::string& source, double order) {
  return said["lines"][line_of(said, source, order)]["probability"].get<double>();
}

double sum_of(const Json& said) {
  double sum = said["unexplained_probability"];
  for (const Json& line : said["lines"]) sum += line["probability"].get<double>();
  return sum;
}

}  // namespace

// 265/70R17 at 58 mph: 10.6 Hz; x 3.73 is 39.5 Hz (3.05 rule, order = ratio).
TEST_CASE("one peak keeps the keys it had") {
  const Json said = json_of(pickup({"--measured", "39.5 Hz"}));
  CHECK(said["measured_hz"] == 39.5);
  CHECK(sum_of(said) == doctest::Approx(1.0).epsilon(1e-5));
  CHECK(probability(said, "driveshaft", 1.0) > 0.5);
  REQUIRE(said["peaks"].size() == 1);
  CHECK(said["peaks"][0]["probabilities"][line_of(said, "driveshaft", 1.0)] ==
        probability(said, "driveshaft", 1.0));
  CHECK(said["beat"].is_null());
  const Json none = json_of(pickup({}));
  CHECK(none["measured_hz"].is_null());
  CHECK(none["unexplained_probability"].is_null());
  CHECK(none["peaks"].empty());
  CHECK_FALSE(none["lines"][0].contains("probability"));
}

TEST_CASE("several peaks, given again or with commas, are held against the lines each") {
  const Json one = json_of(pickup({"--measured", "10.6 Hz,39.5 Hz", "--measured", "39.9 Hz"}));
  const Json other =
      json_of(pickup({"--measured", "39.9 Hz", "--measured", "39.5 Hz", "--measured", "10.6 Hz"}));
  CHECK(one == other);
  CHECK(one["measured_hz"].is_null());
  REQUIRE(one["peaks"].size() == 2);
  CHECK(one["peaks"][0]["frequency_hz"] == 10.6);
  CHECK(one["peaks"][0]["readings"] == 1);
  CHECK(one["peaks"][1]["frequency_hz"] == doctest::Approx(39.7));
  CHECK(one["peaks"][1]["readings"] == 2);
  CHECK(one["peaks"][0]["probabilities"][line_of(one, "tire", 1.0)] > 0.9);
  CHECK(one["peaks"][1]["probabilities"][line_of(one, "driveshaft", 1.0)] > 0.8);
  CHECK(sum_of(one) == doctest::Approx(1.0).epsilon(1e-5));
  // A comma between digits is a decimal one.
  CHECK(json_of(pickup({"--measured", "39,5 Hz, 10.6 Hz"}))["peaks"][1]["frequency_hz"] == 39.5);
}

TEST_CASE("how fast it feels favours the lines of that kind") {
  struct Row {
    const char* feels;
    const char* source;
    double order;
  };
  for (const Row& row : {Row{"wheel", "tire", 1.0}, Row{"twice", "tire", 2.0},
                         Row{"shaft", "driveshaft", 1.0}, Row{"engine", "engine", 4.0}}) {
    CAPTURE(row.feels);
    const Json said = json_of(pickup({"--feels", row.feels}));
    CHECK(sum_of(said) == doctest::Approx(1.0).epsilon(1e-5));
    const double here = probability(said, row.source, row.order);
    for (const Row& other :
         {Row{"", "tire", 1.0}, Row{"", "driveshaft", 1.0}, Row{"", "engine", 4.0}})
      if (std::string(other.source) != row.source)
        CHECK(here > probability(said, other.source, other.order));
  }
  // What a reading alone leaves open it may decide.
  const Json read = json_of(pickup({"--measured", "27.5 Hz"})),
             felt = json_of(pickup({"--measured", "27.5 Hz", "--feels", "engine"}));
  CHECK(felt["unexplained_probability"] < read["unexplained_probability"]);
}

TEST_CASE("a counted swelling names what would make it") {
  // A ratio of 3.02 puts the shaft 0.02 x 10.6 Hz from the tire's third order: 0.21 Hz, 4.7 s.
  std::vector<std::string> arguments = pickup({"--beat", "4.7 s"});
  std::replace(arguments.begin(), arguments.end(), std::string("3.73"), std::string("3.02"));
  const Json beat = json_of(arguments)["beat"];
  CHECK(beat["period_s"] == 4.7);
  REQUIRE(!beat["lines"].empty());
  CHECK(beat["lines"][0]["about"] == Json::array({"tire order 3", "driveshaft order 1"}));
  CHECK(beat["lines"][0]["beat_hz"] == doctest::Approx(0.2118).epsilon(0.01));
  CHECK(json_of(pickup({"--beat", "4.7 s"}))["beat"]["lines"].empty());
  // 205/55R16 at 100 km/h, 14.4 Hz: 22 s are 0.316 %, 6.1 mm of circumference, 1 mm of tread or
  // 1.26 of 1/32 in (recomputed); some 0.6 of the wear shows: 1.7 mm (from memory).
  const Json behind = json_of({"orders", "--tire", "205/55R16", "--speed", "100 km/h", "--by",
                               "gps", "--beat", "22 s"})["beat"]["behind"];
  CHECK(behind["relative"] == doctest::Approx(0.00316).epsilon(0.01));
  CHECK(behind["circumference_mm"] == doctest::Approx(6.09).epsilon(0.01));
  CHECK(behind["tread_depth_mm"] == doctest::Approx(1.0).epsilon(0.01));
  CHECK(behind["tread_depth_32nds"] == doctest::Approx(1.26).epsilon(0.01));
  CHECK(behind["tread_depth_belt_mm"] == doctest::Approx(1.66).epsilon(0.02));
}

TEST_CASE("two treads or pressures say how the wheels would swell") {
  const std::vector<std::string> car = {"orders",   "--tire", "205/55R16", "--speed",
                                        "100 km/h", "--by",   "gps"};
  const auto wheels = [&](const std::vector<std::string>& more) {
    std::vector<std::string> arguments = car;
    arguments.insert(arguments.end(), more.begin(), more.end());
    return json_of(arguments)["beat"]["wheels"];
  };
  // 0.6 of 0.316 %.
  CHECK(wheels({"--treads", "7 mm, 6 mm"})["relative"] == doctest::Approx(0.0019).epsilon(0.02));
  CHECK(wheels({"--treads", "7 mm, 6 mm"})["period_s"] == doctest::Approx(36.6).epsilon(0.02));
  CHECK(wheels({"--treads", "6 mm, 7 mm"})["relative"] == doctest::Approx(-0.0019).epsilon(0.02));
  CHECK(wheels({"--pressures", "250 kPa, 200 kPa"})["relative"] ==
        doctest::Approx(0.004).epsilon(0.02));
  CHECK(wheels({"--treads", "7 mm, 7 mm"})["period_s"].is_null());
}

TEST_CASE("plain text fits 80 columns and says what is asked") {
  const Ran ran = run_perrev(pickup({"--measured", "10.6 Hz, 40.9 Hz", "--feels", "shaft", "--beat",
                                     "9 s", "--treads", "9/32 in, 6/32 in"}));
  CHECK(ran.code == 0);
  std::istringstream lines(ran.out);
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(line.size() <= 80);
  }
  for (const char* part :
       {"measured 10.6 Hz, 40.9 Hz; it feels as fast as a shaft", "10.6 Hz: most likely this",
        "driveshaft order 1 and tire order 4", "What would swell once in 9.0 s", "Two wheels: one",
        "of tread", "These treads make a difference"}) {
    CAPTURE(part);
    std::string flat = ran.out;
    std::replace(flat.begin(), flat.end(), '\n', ' ');
    while (flat.find("  ") != std::string::npos) flat.erase(flat.find("  "), 1);
    CHECK(flat.find(part) != std::string::npos);
  }
  const Ran nothing = run_perrev({"orders", "--rpm", "1650", "--beat", "8 s"});
  CHECK(nothing.out.find("Nothing that is known here swells once in 8.0 s.") != std::string::npos);
  CHECK(nothing.out.find("What two wheels make of it needs --tire and --speed.") !=
        std::string::npos);
}

TEST_CASE("what cannot be read is told, all of it") {
  const Ran ran = run_perrev(pickup({"--measured", "40, 300 Hz", "--beat", "8", "--treads", "7 mm",
                                     "--pressures", "33 psi, low"}));
  CHECK(ran.code == 2);
  for (const char* part : {"--measured: \"40\" has no unit",
                           "--measured: \"300 Hz\" is out of range", "--beat: \"8\" has no unit",
                           "--treads: \"7 mm\" is not two values", "--pressures: \"low\""}) {
    CAPTURE(part);
    CHECK(ran.err.find(part) != std::string::npos);
  }
  CHECK(run_perrev(pickup({"--feels", "hard"})).code == 2);
}
