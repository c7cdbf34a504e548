// `perrev bay` as a technician uses it: what stands in docs/bay.md, cases kept, refusals.
#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "src/answers/bay/bay_tool.h"
#include "tests/engine/picture/svg_reader.h"
#include "tests/src/page_commands.h"

using namespace perrev::test;
using Json = nlohmann::ordered_json;

namespace {

constexpr const char* kCase =
    R"({"perrev_case": 1, "label": "made up", "entries": [
      {"id": "1", "at": "2026-05-04T09:00:00Z", "by": "write_up", "fact": "wheel_type", "value": "alloy"},
      {"id": "2", "at": "2026-05-04T09:00:00Z", "by": "write_up", "fact": "worst_speed", "value": "65 mph"}]})";

}  // namespace

TEST_CASE("every reckoning of docs/bay.md ends well and fits 80 columns") {
  const Folder folder;
  const std::vector<std::string> commands = commands_of_page("docs/bay.md", "bay");
  CHECK(commands.size() >= 6);
  for (const std::string& command : commands) {
    CAPTURE(command);
    std::vector<std::string> arguments = words_of(command);
    for (std::size_t i = 1; i < arguments.size(); ++i)
      if (arguments[i - 1] == "--plot") arguments[i] = folder.path(arguments[i]);
    const Ran ran = run_perrev(arguments);
    CHECK(ran.code == 0);
    CHECK(ran.err.empty());
    CHECK(!ran.out.empty());
    if (arguments.back() != "--help") CHECK(longest_line(ran.out) <= 80);
  }
  CHECK(folder.has("angles.svg"));
  CHECK(read_svg(folder.read("angles.svg")));
}

TEST_CASE("help of every reckoning fits 80 columns, and its example runs") {
  for (const perrev::BayTool& tool : perrev::bay_tools()) {
    std::string command(tool.id);
    std::replace(command.begin(), command.end(), '_', '-');
    CAPTURE(command);
    const Ran help = run_perrev({"bay", command, "--help"});
    CHECK(help.code == 0);
    CHECK(longest_line(help.out) <= 80);
    for (const auto& field : tool.fields)
      for (const auto& choice : field.choices)
        CHECK(help.out.find(" " + std::string(choice.id) + ":") != std::string::npos);
    std::string line;
    for (const char c : tool.example)
      if (c != '\\' && c != '\n') line += c;
    const Folder folder;
    std::vector<std::string> arguments = words_of(line);
    REQUIRE(arguments.size() > 3);
    CHECK(arguments[0] == "perrev");
    CHECK(arguments[2] == command);
    for (std::size_t i = 1; i < arguments.size(); ++i)
      if (arguments[i - 1] == "--plot") arguments[i] = folder.path(arguments[i]);
    const Ran ran = run_perrev({arguments.begin() + 1, arguments.end()});
    CHECK(ran.code == 0);
    CHECK(ran.err.empty());
    CHECK(longest_line(ran.out) <= 80);
  }
}

TEST_CASE("what is kept in a case has its readings, and the case reads it") {
  const Folder folder;
  folder.write("case.json", kCase);
  const std::vector<std::string> bearing = {
      "bay",    "bearing-play",           "--readings", "0.00 mm, 0.08 mm", "--bearing", "unit",
      "--case", folder.path("case.json"), "--keep"};
  Ran ran = run_perrev(bearing);
  CHECK(ran.code == 2);  // which wheel?
  CHECK(ran.err.find("where it was read is not told") != std::string::npos);
  CHECK(folder.read("case.json") == kCase);

  std::vector<std::string> there = bearing;
  there.insert(there.end(), {"--place", "left_front"});
  ran = run_perrev(there);
  CHECK(ran.code == 0);
  CHECK(ran.out.find("Kept in ") != std::string::npos);
  const Json kept = Json::parse(folder.read("case.json"));
  REQUIRE(kept["entries"].size() == 4);
  const Json& entry = kept["entries"][2];
  CHECK(entry["fact"] == "bearing_play");
  CHECK(entry["place"] == "left_front");
  CHECK(entry["by"] == "bay");
  CHECK(entry["with"]["reckoned"] == "bearing_play");
  CHECK(entry["with"]["readings"] == "0.00 mm, 0.08 mm");
  const Ran diagnosed = run_perrev({"diagnose", folder.path("case.json"), "--json"});
  CHECK(diagnosed.code == 0);
  CHECK(diagnosed.out.find("bearing_play") != std::string::npos);
}

TEST_CASE("the case says which row of a limit holds, and so does --class without one") {
  const Folder folder;
  folder.write("case.json", kCase);
  const std::vector<std::string> rim = {"bay",        "runout",     "--where",
                                        "rim_radial", "--readings", "0.0, 0.3, 0.6, 0.3 mm",
                                        "--json",     "--units",    "metric"};
  const auto finding = [&](const std::vector<std::string>& further) {
    std::vector<std::string> arguments = rim;
    arguments.insert(arguments.end(), further.begin(), further.end());
    const Ran ran = run_perrev(arguments);
    CAPTURE(ran.err);
    REQUIRE(ran.code == 0);
    return Json::parse(ran.out)["limits"][0]["finding"];
  };
  CHECK(finding({}).is_null());
  CHECK(finding({"--case", folder.path("case.json")}) == "between");  // alloy: 0.5 to 0.8 mm
  CHECK(finding({"--class", "alloy"}) == "between");
  CHECK(finding({"--class", "steel"}) == "good");
}

TEST_CASE("what cannot be is refused with its option and row, on one line each") {
  const Ran ran =
      run_perrev({"bay", "nuts", "--torques", "140 N m; 100 lb ft; 9000 N m", "--stated", "140"});
  CHECK(ran.code == 2);
  CHECK(ran.out.empty());
  CHECK(ran.err.find("--torques, row 2") != std::string::npos);
  CHECK(ran.err.find("--torques, row 3") != std::string::npos);
  CHECK(ran.err.find("--stated") != std::string::npos);
  CHECK(run_perrev({"bay"}).code == 2);
  CHECK(run_perrev({"bay", "nuts", "--stated", "140 N m"}).code == 2);
}
