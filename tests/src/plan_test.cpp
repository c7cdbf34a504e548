// What `perrev plan` and `perrev trial` say, seen from outside.
#include "engine/planning/plan.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

using namespace perrev::test;
using Json = nlohmann::json;

namespace {

Json planned(const std::vector<std::string>& more, const std::string& input = {}) {
  std::vector<std::string> arguments = {"plan"};
  arguments.insert(arguments.end(), more.begin(), more.end());
  arguments.push_back("--json");
  const Ran ran = run_perrev(arguments, input);
  REQUIRE_MESSAGE(ran.code == 0, ran.err);
  return Json::parse(ran.out);
}

const char* const kItShakes = R"({"perrev_case": 1, "entries": []})";

std::string with_entry(const std::string& rest) {
  return R"({"perrev_case": 1, "entries": [{"id": "1", "at": "2026-05-04T09:12:00Z", )" + rest +
         "}]}";
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("a plan of every reference case: its keys, its order, probabilities that add up") {
  for (const char* name :
       {"it_shakes", "shakes_after_new_tires", "shakes_at_sixty_two", "lifted_pickup_angles",
        "electric_at_the_counter", "nuts_loose_after_fitting", "tie_rod_and_imbalance",
        "judder_repaired_and_gone"}) {
    CAPTURE(name);
    const Json plan = planned({project("cases/" + std::string(name) + ".json")});
    const double expected = plan["expected_minutes"], known = plan["minutes_if_known"],
                 at_once = plan["minutes_without_more_checks"];
    CHECK(known <= expected + 1e-9);
    CHECK(expected <= at_once + 1e-9);
    REQUIRE(!plan["next"].empty());
    REQUIRE(!plan["path"].empty());
    CHECK(plan["next"][0]["what"] == plan["path"][0]["what"]);
    // The first leaves the fewest minutes; else it is a question put first for what it tells, or
    // the repair of what is as good as known.
    const Json& first = plan["next"][0];
    if (first["expected_minutes"] > expected) {
      const bool sure = first["check"].is_null() && first["right_afterwards"] >= 0.9 &&
                        first["expected_minutes"] < expected + perrev::kHardlyTold;
      CHECK((sure || (!first["check"].is_null() && first["minutes"] <= 1.0)));
    }
    for (const Json& step : plan["next"]) {
      CHECK(expected <= step["expected_minutes"]);
      const int kinds = (step["check"].is_null() ? 0 : 1) +
                        (step["right_afterwards"].is_null() ? 0 : 1) + (step["hand_on"] ? 1 : 0);
      CHECK(kinds == 1);
      if (step["check"].is_null()) continue;
      double total = 0.0;
      for (const Json& outcome : step["outcomes"]) total += outcome["probability"].get<double>();
      CHECK(total == doctest::Approx(1.0));
    }
  }
}

TEST_CASE("what is proved is not driven once more") {
  const std::string gone = project("cases/judder_repaired_and_gone.json");
  CHECK(planned({gone})["proved"] == true);
  CHECK(planned({"-"}, kItShakes)["proved"] == false);
  const Ran ran = run_perrev({"plan", gone});
  REQUIRE(ran.code == 0);
  CHECK(ran.out.find("Nothing is wrong") != std::string::npos);
  CHECK(ran.out.find("Drive the same road again") == std::string::npos);
}

TEST_CASE("what is shown is repaired, and nothing behind its repair is proposed") {
  const Ran ran = run_perrev({"plan", project("cases/shakes_after_new_tires.json")});
  REQUIRE(ran.code == 0);
  CHECK(ran.out.find("Shown already, so repair it\n    Repair: ") != std::string::npos);
  CHECK(ran.out.find("What to do next") == std::string::npos);
}

TEST_CASE("while a stop holds no plan moves the vehicle, and it says so") {
  const std::string stopped =
      with_entry(R"("by": "write_up", "fact": "nuts_loose", "value": "yes")");
  const Ran ran = run_perrev({"plan", "-"}, stopped);
  REQUIRE(ran.code == 0);
  CHECK(ran.out.find("STOP") != std::string::npos);
  const Json plan = planned({"-"}, stopped);
  for (const char* part : {"next", "path"})
    for (const Json& step : plan[part])
      if (!step["check"].is_null())
        CHECK(step["check"].get<std::string>().rfind("drive_", 0) == std::string::npos);
}

TEST_CASE("what stands ready is not paid again") {
  const std::string raised =
      with_entry(R"("by": "bay", "fact": "bearing_rocks", "place": "left_front", "value": "no")");
  const Json from_case = planned({"-"}, raised),
             said = planned({"-", "--ready", "car_raised"}, raised),
             otherwise = planned({"-", "--ready", "bonnet_open"}, raised);
  CHECK(from_case["next"] == said["next"]);
  CHECK(from_case["expected_minutes"].get<double>() <= otherwise["expected_minutes"].get<double>());
  const Ran wrong = run_perrev({"plan", "-", "--ready", "moon"}, raised);
  CHECK(wrong.code == 2);
  CHECK(wrong.err ==
        "error: --ready: no set-up is named 'moon'; car_raised, wheels_off, wheel_on_balancer, "
        "dial_gauge_mounted, tire_off_rim, brake_opened, standing_on_plates, shaft_reached, "
        "gearbox_reached, gearbox_out, scan_tool_connected, bonnet_open, road_test, hoist_run\n");
}

TEST_CASE("a shop's own file stands for the rule base's, and its errors name it") {
  const Folder folder;
  const std::string shop = read_whole(project("rules/shop.yaml"));
  folder.write("near.yaml", replaced(shop, "handing_on_minutes: 120", "handing_on_minutes: 10"));
  const Json usual = planned({"-"}, kItShakes),
             cheap = planned({"-", "--shop", folder.path("near.yaml")}, kItShakes);
  CHECK(cheap["expected_minutes"].get<double>() < usual["expected_minutes"].get<double>());
  CHECK(cheap["rules_digest"] != usual["rules_digest"]);
  folder.write("wrong.yaml", replaced(shop, "after: car_raised", "after: nothing_here"));
  const Ran wrong = run_perrev({"plan", "-", "--shop", folder.path("wrong.yaml")}, kItShakes);
  CHECK(wrong.code == 2);
  CHECK(wrong.err.find(folder.path("wrong.yaml") + ":") == 0);
  CHECK(wrong.err.find("unknown set-up above it 'nothing_here'") != std::string::npos);
  CHECK(run_perrev({"plan", "-", "--shop", folder.path("none.yaml")}, kItShakes).code == 2);
}

TEST_CASE("trials: the same seed says the same, another another; every strategy is told") {
  const std::vector<std::string> arguments = {"trial",
                                              "--complaints",
                                              "24",
                                              "--seed",
                                              "5",
                                              "--flow-chart",
                                              project("tests/engine/planning/good_shop.yaml"),
                                              "--json"};
  const Ran once = run_perrev(arguments), again = run_perrev(arguments);
  REQUIRE_MESSAGE(once.code == 0, once.err);
  CHECK(once.out == again.out);
  std::vector<std::string> other = arguments;
  other[4] = "6";
  CHECK(run_perrev(other).out != once.out);
  const Json reports = Json::parse(once.out);
  std::vector<std::string> names;
  for (const Json& report : reports) {
    names.push_back(report["strategy"]);
    CHECK(report["complaints"] == 24);
    CHECK(report["minutes_mean"].get<double>() >= report["minutes_if_known"].get<double>());
    CHECK(report["minutes_if_known"] == reports[0]["minutes_if_known"]);
    int counted = 0;
    for (const Json& bin : report["reliability"]) counted += bin["count"].get<int>();
    CHECK(counted == 24);
  }
  CHECK(names == std::vector<std::string>{"look_ahead", "entropy_per_minute", "flow_chart",
                                          "path_order", "random"});
}

TEST_CASE("a trial tells how often the first cause was there") {
  const Ran ran = run_perrev(
      {"trial", "--complaints", "40", "--strategy", "entropy_per_minute", "--strategy", "random"});
  REQUIRE_MESSAGE(ran.code == 0, ran.err);
  const std::size_t at = ran.out.find("First cause, %");
  REQUIRE(at != std::string::npos);
  CHECK(ran.out.find("Expected calibration error of entropy_per_minute: 0.") < at);
  std::istringstream rows(ran.out.substr(ran.out.find('\n', at)));
  int counted = 0;
  for (std::string row; std::getline(rows, row);)
    if (!row.empty()) counted += std::stoi(row.substr(row.rfind(' ')));
  CHECK(counted == 40);
}

TEST_CASE("trials refuse what they cannot do") {
  CHECK(run_perrev({"trial", "--strategy", "flow_chart"}).code == 2);
  CHECK(run_perrev({"trial", "--strategy", "magic"}).code == 2);
  CHECK(run_perrev({"trial", "--complaints", "0"}).code == 2);
  CHECK(run_perrev({"trial", "--wrong-answers", "2"}).code == 2);
}

TEST_CASE("a trial draws its reliability") {
  const Folder folder;
  const Ran ran = run_perrev({"trial", "--complaints", "8", "--strategy", "entropy_per_minute",
                              "--picture", folder.path("reliability.svg")});
  REQUIRE_MESSAGE(ran.code == 0, ran.err);
  CHECK(folder.read("reliability.svg").find("<svg") != std::string::npos);
}

TEST_CASE("a printed check asks its question and tells no long list of rare answers") {
  std::size_t questions = 0;
  for (const char* name : {"it_shakes", "shakes_at_sixty_two", "lifted_pickup_angles",
                           "front_shaft_of_a_four_by_four", "tie_rod_and_imbalance"}) {
    CAPTURE(name);
    std::istringstream lines(
        run_perrev({"plan", project("cases/" + std::string(name) + ".json")}).out);
    std::string line;
    std::vector<double> shares;
    const auto end_of_answers = [&] {
      if (shares.size() > 8)
        for (const double share : shares) CHECK(share >= 5.0);
      shares.clear();
    };
    while (std::getline(lines, line)) {
      const std::size_t at = line.find(" %): A ");
      if (at != std::string::npos)
        shares.push_back(std::strtod(line.c_str() + line.rfind('(', at) + 1, nullptr));
      else
        end_of_answers();
      questions += line.rfind("    ", 0) == 0 && line.back() == '?' ? 1 : 0;
    }
    end_of_answers();
  }
  CHECK(questions >= 5);
}
