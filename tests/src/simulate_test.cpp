// What `perrev simulate` says, seen from outside.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

using namespace perrev::test;
using Json = nlohmann::json;

TEST_CASE("a simulated case is printed, is read by diagnose, and is the same again") {
  const Ran one = run_perrev({"simulate", "--seed", "11"});
  REQUIRE_MESSAGE(one.code == 0, one.err);
  CHECK(one.out == run_perrev({"simulate", "--seed", "11"}).out);
  CHECK(one.out != run_perrev({"simulate", "--seed", "12"}).out);
  const Json made = Json::parse(one.out);
  CHECK(made["perrev_case"] == 1);
  CHECK(made["reference"]["true"].size() == 1);
  CHECK(made["simulated"]["seed"] == 11);
  const Ran ran = run_perrev({"diagnose", "-", "--json"}, one.out);
  REQUIRE_MESSAGE(ran.code == 0, ran.err);
  CHECK(!Json::parse(ran.out)["ranking"].empty());
}

TEST_CASE("several cases are an array, or files of a folder") {
  const Ran printed = run_perrev({"simulate", "--count", "3", "--cause", "lost_weight"});
  REQUIRE_MESSAGE(printed.code == 0, printed.err);
  const Json all = Json::parse(printed.out);
  REQUIRE(all.size() == 3);
  for (const Json& each : all) CHECK(each["reference"]["true"][0] == "lost_weight");

  const Folder folder;
  const Ran written = run_perrev(
      {"simulate", "--count", "3", "--cause", "lost_weight", "--out", folder.path("made")});
  REQUIRE_MESSAGE(written.code == 0, written.err);
  for (std::size_t i = 0; i < 3; ++i)
    CHECK(Json::parse(folder.read("made/simulated_1_" + std::to_string(i) + ".json")) == all[i]);
}

TEST_CASE("nothing that is something else is written over") {
  const Folder folder;
  folder.write("simulated_1_0.json", "{\"perrev_case\": 1, \"entries\": []}");
  folder.write("drive.csv", "a,b\n1,2\n");
  const Ran cases = run_perrev({"simulate", "--out", folder.path("")});
  CHECK(cases.code == 2);
  CHECK(cases.err.find("is there already") != std::string::npos);
  CHECK(folder.read("simulated_1_0.json") == "{\"perrev_case\": 1, \"entries\": []}");
  const Ran recorded = run_perrev({"simulate", "--recording", folder.path("drive.csv")});
  CHECK(recorded.code == 2);
  CHECK(folder.read("drive.csv") == "a,b\n1,2\n");
  CHECK(run_perrev({"simulate", "--recording", folder.path("no/such/drive.csv")}).code == 2);
}

TEST_CASE("a recording has the rate and the length that were asked for") {
  const Folder folder;
  const Ran ran = run_perrev({"simulate", "--recording", folder.path("drive.csv"), "--sample-rate",
                              "50", "--duration", "10"});
  REQUIRE_MESSAGE(ran.code == 0, ran.err);
  const std::string text = folder.read("drive.csv");
  CHECK(text.rfind("time_s,speed_m_s,acceleration_x_m_s2,", 0) == 0);
  CHECK(std::count(text.begin(), text.end(), '\n') == 502);
  const std::string last = text.substr(text.rfind('\n', text.size() - 2) + 1);
  CHECK(last.rfind("10.00000,", 0) == 0);
}

TEST_CASE("the score: shares that can be, families that add up, the same again") {
  const Ran ran = run_perrev({"simulate", "--score", "60", "--seed", "7", "--json"});
  REQUIRE_MESSAGE(ran.code == 0, ran.err);
  CHECK(ran.out == run_perrev({"simulate", "--score", "60", "--seed", "7", "--json"}).out);
  const Json score = Json::parse(ran.out);
  CHECK(score["complaints"] == 60);
  int complaints = 0;
  double first = 0.0;
  for (const Json& family : score["families"]) {
    complaints += family["complaints"].get<int>();
    first += family["complaints"].get<double>() * family["cause_first"].get<double>();
    CHECK(family["line_first"] <= family["line_in_three"]);
    CHECK(family["cause_first"] <= family["cause_first_of_simulated"]);
  }
  CHECK(complaints == 60);
  CHECK(first / 60.0 == doctest::Approx(score["cause_first"].get<double>()).epsilon(1e-4));
  const Ran table = run_perrev({"simulate", "--score", "60", "--seed", "7"});
  REQUIRE(table.code == 0);
  std::size_t begin = 0;
  for (std::size_t end; (end = table.out.find('\n', begin)) != std::string::npos; begin = end + 1)
    CHECK(end - begin <= 80);
}

TEST_CASE("bad options of simulate are refused") {
  for (const std::vector<std::string>& bad :
       std::vector<std::vector<std::string>>{{"--count", "0"},
                                             {"--count", "many"},
                                             {"--seed", "-1"},
                                             {"--seed", "18446744073709551616"},
                                             {"--cause", "nothing_like_it"},
                                             {"--cause", "misfire"},  // follows the engine
                                             {"--score", "0"},
                                             {"--score", "5", "--count", "2"},
                                             {"--score", "5", "--recording", "x.csv"},
                                             {"--count", "2", "--recording", "x.csv"},
                                             {"--sample-rate", "100"},
                                             {"--recording", "x.csv", "--duration", "601"},
                                             {"--recording", "x.csv", "--sample-rate", "1"},
                                             {"--recording", "x.csv", "--sample-rate", "nan"},
                                             {"--recording", "x.csv", "--duration", "nan"},
                                             {"--rules", "/no/such/folder"},
                                             {"case.json"}}) {
    CAPTURE(bad.back());
    std::vector<std::string> arguments = {"simulate"};
    arguments.insert(arguments.end(), bad.begin(), bad.end());
    const Ran ran = run_perrev(arguments);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK(!ran.err.empty());
  }
}
