// `perrev feel` from outside, and the same answer about a case.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "src/answers/answers.h"
#include "src/answers/words.h"
#include "tests/engine/picture/svg_reader.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

namespace perrev {
namespace {

using Json = nlohmann::ordered_json;
using test::Ran;
using test::run_perrev;

const std::vector<std::string> kOneOunce = {
    "feel", "--tire", "225/60R16", "--cause", "static_imbalance", "--size", "1 oz"};

std::vector<std::string> with(std::vector<std::string> arguments,
                              const std::vector<std::string>& more) {
  arguments.insert(arguments.end(), more.begin(), more.end());
  return arguments;
}

TEST_CASE("feel prints a table that fits, and JSON that says the same in metric numbers") {
  const Ran text = run_perrev(with(kOneOunce, {"--at", "front", "--speed", "65 mph"}));
  CHECK(text.code == 0);
  CHECK(text.err.empty());
  CHECK(text.out.find("1 oz of imbalance at the rim, front") != std::string::npos);
  CHECK(text.out.find("At 65 mph") != std::string::npos);
  std::size_t begin = 0;
  for (std::size_t end; (end = text.out.find('\n', begin)) != std::string::npos; begin = end + 1)
    CHECK(end - begin <= kColumns);
  const Ran json = run_perrev(with(kOneOunce, {"--at", "front", "--speed", "65 mph", "--json"}));
  CHECK(json.code == 0);
  const Json said = Json::parse(json.out);
  CHECK(said["kind"] == "imbalance");
  CHECK(said["size_unit"] == "g");
  CHECK(said["size"] == 28.3495);
  CHECK(said["front_probability"] == 1.0);
  CHECK(said["at_speed"]["speed_km_h"] == 104.607);
  CHECK(said["curve"].size() == 25);
  CHECK(said["curve"].front()["speed_km_h"] == 20.0);
  CHECK(said["curve"].back()["speed_km_h"] == 140.0);
  for (const Json& point : said["curve"])
    for (const Json& place : point["places"])
      CHECK((place["probability"] >= 0.0 && place["probability"] <= 1.0));
  const Ran metric = run_perrev(with(kOneOunce, {"--at", "front", "--json", "--units", "metric"}));
  CHECK(Json::parse(metric.out)["curve"] == said["curve"]);
}

Json entry(const char* fact, const Json& value) {
  return {{"id", fact},
          {"at", "2026-01-01T00:00:00Z"},
          {"by", "write_up"},
          {"fact", fact},
          {"value", value}};
}

// A car on 225/60R16 that is worst at 65 mph.
Json case_at_65(const char* by) {
  Json worst = entry("worst_speed", "65 mph");
  if (by) worst["with"] = {{"by", by}};
  return {{"perrev_case", 1},
          {"entries",
           Json::array({entry("tire_size", "225/60R16"), entry("vehicle_kind", "car"), worst})}};
}

TEST_CASE("the answer about a case is the command's for its vehicle, with the entered speed") {
  const Answerer answerer(test::shipped_rules());
  const auto asked = [&](const Json& request) {
    return Json::parse(answerer.answer("feel", request.dump()));
  };
  const Json printed = Json::parse(run_perrev(with(kOneOunce, {"--vehicle", "car", "--json"})).out);
  // A dash reads 2.5 % high: common practice within UN R39.
  struct Row {
    const char* by;
    double km_h;
  };
  for (const Row& row : {Row{"gps", 104.60736}, Row{"speedometer", 104.60736 / 1.025},
                         Row{nullptr, 104.60736 / 1.025}}) {
    const Json said = asked(
        {{"case", case_at_65(row.by)}, {"cause", "static_imbalance"}, {"size", "1 oz"}})["ok"];
    CHECK(said["curve"] == printed["curve"]);
    CHECK(said["sizes"] == printed["sizes"]);
    REQUIRE(said["marks"].size() == 1);
    CHECK(said["marks"][0]["speed_km_h"].get<double>() == doctest::Approx(row.km_h).epsilon(1e-5));
    CHECK(said["at_speed"]["speed_km_h"] == said["marks"][0]["speed_km_h"]);
    CHECK(said["sentences"][0].get<std::string>().find("65 mph") != std::string::npos);
    const auto elements = test::read_svg(said["svg"].get<std::string>());
    REQUIRE(elements);
    CHECK(std::count_if(elements->begin(), elements->end(), [](const test::Element& one) {
            return one.text == "entered: worst";
          }) == 1);
  }
  const Json narrow = asked({{"case", case_at_65("gps")},
                             {"cause", "static_imbalance"},
                             {"units", "metric"},
                             {"width", 230}})["ok"];
  const auto elements = test::read_svg(narrow["svg"].get<std::string>());
  REQUIRE(elements);
  CHECK(elements->front().number("width") < 400.0);
  for (const Json& refused :
       {Json{{"cause", "static_imbalance"}}, Json{{"case", case_at_65("gps")}},
        Json{{"case", case_at_65("gps")}, {"cause", "none"}},
        Json{{"case", case_at_65("gps")}, {"cause", "road_surface"}},
        Json{{"case", case_at_65("gps")}, {"cause", "static_imbalance"}, {"size", "1 mm"}}})
    CHECK(asked(refused).contains("problems"));
}

TEST_CASE("the catalogue tells of which causes it can be asked, and each of them is answered") {
  const Answerer answerer(test::shipped_rules());
  int computed = 0;
  const Json catalogue = Json::parse(answerer.answer("catalogue", "{}"));
  for (const Json& cause : catalogue["ok"]["causes"]) {
    CAPTURE(cause["id"].get<std::string>());
    const Json request = {{"case", case_at_65("gps")}, {"cause", cause["id"]}};
    const Json said = Json::parse(answerer.answer("feel", request.dump()));
    CHECK(said.contains("ok") == cause["felt_computed"].get<bool>());
    computed += cause["felt_computed"].get<bool>() ? 1 : 0;
  }
  CHECK(computed > 0);
}

TEST_CASE("feel draws into a file, and into no file that is something else") {
  const test::Folder folder;
  folder.write("rule.yaml", "static_imbalance:\n");
  const std::string svg = folder.path("felt.svg");
  const Ran drawn = run_perrev(with(kOneOunce, {"--plot", svg}));
  CHECK(drawn.code == 0);
  CHECK(drawn.out.find("Written: ") != std::string::npos);
  CHECK(test::read_svg(folder.read("felt.svg")));
  CHECK(run_perrev(with(kOneOunce, {"--plot", svg})).code == 0);
  const Ran refused = run_perrev(with(kOneOunce, {"--plot", folder.path("rule.yaml")}));
  CHECK(refused.code == 2);
  CHECK(folder.read("rule.yaml") == "static_imbalance:\n");
  CHECK(folder.names() == std::vector<std::string>{"felt.svg", "rule.yaml"});
}

TEST_CASE("feel says what is wrong with what it was given") {
  struct Row {
    std::vector<std::string> arguments;
    const char* says;
  };
  const Row rows[] = {
      {{"feel"}, "--cause: no fault is named"},
      {{"feel", "--cause", "static_imbalanc"}, "static_imbalance"},
      {{"feel", "--cause", "road_surface"}, "is not computed"},
      {{"feel", "--kind", "imbalance"}, "--size: how large the fault is, is missing"},
      {{"feel", "--kind", "wobble"}, "--kind"},
      {{"feel", "--kind", "imbalance", "--size", "1"}, "--size"},
      {{"feel", "--kind", "imbalance", "--size", "1 mm"}, "--size"},
      {{"feel", "--kind", "imbalance", "--size", "50 lb"}, "out of range"},
      {{"feel", "--kind", "imbalance", "--cause", "static_imbalance"}, "excludes"},
      {{"feel", "--kind", "engine_torque", "--size", "20 N m"}, "cylinders"},
      {{"feel", "--kind", "engine_torque", "--size", "20 N m", "--cylinders", "4"}, "gear ratio"},
      {{"feel", "--kind", "shaft_runout", "--size", "1 mm", "--driven", "front"}, "rear axle"},
      {{"feel", "--kind", "shaft_runout", "--size", "1 mm", "--at", "front"}, "--at"},
      {{"feel", "--kind", "imbalance", "--size", "1 oz", "--speed", "150 mph"}, "--speed"},
      {{"feel", "--kind", "imbalance", "--size", "1 oz", "--tire", "225"}, "--tire"},
  };
  for (const Row& row : rows) {
    const Ran ran = run_perrev(row.arguments);
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK(ran.err.find(row.says) != std::string::npos);
  }
}

}  // namespace
}  // namespace perrev
