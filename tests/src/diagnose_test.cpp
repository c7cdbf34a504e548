// What `perrev diagnose` does with good and with bad input, seen from outside.
#include <doctest/doctest.h>
#include <sys/stat.h>
#include <sys/wait.h>

#include <cstdlib>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

using namespace perrev::test;
using Json = nlohmann::json;

namespace {

std::string a_case(const std::string& entries) {
  return R"({"perrev_case": 1, "label": "made up", "entries": [)" + entries + "]}";
}

std::string an_entry(const std::string& id, const std::string& rest) {
  return R"({"id": ")" + id + R"(", "at": "2026-05-04T09:12:00Z", "by": "write_up", )" + rest + "}";
}

// One line, and under it at most the line of the source that it names.
bool is_one_error(const std::string& text) {
  const std::size_t end = text.find('\n');
  if (end == std::string::npos) return false;
  const std::string rest = text.substr(end + 1);
  return rest.empty() || (rest.rfind("    ", 0) == 0 && rest.find('\n') == rest.size() - 1);
}

}  // namespace

TEST_CASE("bad input: one line that names the place, exit 2, nothing on stdout") {
  struct Row {
    std::string name;
    std::string text;
    std::string expected;
  };
  const std::vector<Row> rows = {
      {"truncated", R"({"perrev_case": 1, "entries": [{"id": "1")",
       "case.json:1:42: error: the case breaks off here; check commas, quotes and brackets"},
      {"empty", "",
       "case.json:1:1: error: the case breaks off here; check commas, quotes and brackets"},
      {"not a case", "[]",
       "case.json: error: this is not a case; an object with \"perrev_case\": 1"},
      {"future version", R"({"perrev_case": 2, "entries": []})",
       "case.json:/perrev_case: error: the case is of format version 2, newer than this program; a "
       "perrev that reads version 2"},
      {"unknown fact", a_case(an_entry("1", R"("fact": "felt_att", "value": ["seat"])")),
       "case.json:/entries/0/fact: error: unknown fact \"felt_att\"; did you mean 'felt_at'?"},
      {"value outside its answers",
       a_case(an_entry("1", R"("fact": "felt_at", "value": ["seet"])")),
       "case.json:/entries/0/value: error: \"seet\" is no answer of 'felt_at'; did you mean "
       "'seat'?"},
      {"bare number", a_case(an_entry("1", R"("fact": "worst_speed", "value": "65")")),
       "case.json:/entries/0/value: error: "},
      {"beyond the range", a_case(an_entry("1", R"("fact": "worst_speed", "value": "900 mph")")),
       "case.json:/entries/0/value: error: \"900 mph\" lies outside"},
      {"two tires on one axle",
       a_case(
           an_entry("1", R"("fact": "tire_size", "place": "left_front", "value": "205/55R16")") +
           "," +
           an_entry("2", R"("fact": "tire_size", "place": "right_front", "value": "225/75R16")")),
       "case.json:/entries/1/value: error: the tires 205/55R16 and 225/75R16 do not fit one front "
       "axle; two tires of the same size"},
      {"no tire in nature", a_case(an_entry("1", R"("fact": "tire_size", "value": "225/600R16")")),
       "case.json:/entries/0/value: error: "},
      {"unknown repair", a_case(an_entry("1", R"("repair": "rebalence", "result": "done")")),
       "case.json:/entries/0/repair: error: unknown repair \"rebalence\"; did you mean "
       "'rebalance'?"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.name);
    const Folder folder;
    folder.write("case.json", row.text);
    const Ran ran = run_perrev({"diagnose", folder.path("case.json")});
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK(is_one_error(ran.err));
    CHECK(ran.err.find(row.expected) != std::string::npos);
    CHECK(folder.read("case.json") == row.text);
  }
}

TEST_CASE("a missing file, a directory and an unreadable file are told apart") {
  const Folder folder;
  const Ran missing = run_perrev({"diagnose", folder.path("none.json")});
  CHECK(missing.code == 2);
  CHECK(missing.err.find("none.json: error: no such file") != std::string::npos);
  const Ran directory = run_perrev({"diagnose", folder.path("")});
  CHECK(directory.code == 2);
  CHECK(directory.err.find("is a directory") != std::string::npos);
  const Ran rules =
      run_perrev({"diagnose", "--rules", folder.path("no-rules"), project("cases/it_shakes.json")});
  CHECK(rules.code == 2);
  CHECK(rules.err.find("the rule base cannot be opened") != std::string::npos);
}

TEST_CASE("output that cannot be written is no success") {
  const std::string command = std::string(PERREV_BINARY) + " diagnose " +
                              project("cases/it_shakes.json") + " >/dev/full 2>/dev/null";
  CHECK(WEXITSTATUS(std::system(command.c_str())) == 2);
}

TEST_CASE("a case may come through a pipe") {
  const std::string text = read_whole(project("cases/it_shakes.json"));
  CHECK(run_perrev({"diagnose", "-"}, text).code == 0);
  CHECK(run_perrev({"diagnose", "/dev/stdin"}, text).code == 0);
}

TEST_CASE("two answers that exclude each other are refused") {
  const Folder folder;
  folder.write(
      "case.json",
      a_case(an_entry("1", R"("fact": "began_after", "value": ["tires_fitted", "nothing"])")));
  const Ran ran = run_perrev({"diagnose", folder.path("case.json")});
  CHECK(ran.code == 2);
  CHECK(ran.err.find("'nothing' of 'began_after' stands beside other answers") !=
        std::string::npos);
}

TEST_CASE("a folder that is no rule base is bad input; one with errors fails its check") {
  const Folder folder;
  CHECK(run_perrev({"rules", "check", folder.path("none")}).code == 2);
  folder.write("rules/facts.yaml", "felt_at: [");
  CHECK(run_perrev({"rules", "check", folder.path("rules")}).code == 1);
}

TEST_CASE("a mistyped command line is told with what was perhaps meant, or whose help says more") {
  struct Row {
    std::vector<std::string> typed;
    std::string said;
  };
  const std::vector<Row> rows = {
      {{}, "which command of perrev is missing; see perrev --help"},
      {{"diagnoze", "x.json"}, "\"diagnoze\" is no command of perrev; did you mean 'diagnose'?"},
      {{"rules", "chek"}, "\"chek\" is no command of perrev rules; did you mean 'check'?"},
      {{"bay"}, "which command of perrev bay is missing; see perrev bay --help"},
      {{"plan"}, "CASE is required; see perrev plan --help"},
      {{"diagnose", "x.json", "--untis", "us"},
       "\"--untis\" is not expected here; did you mean '--units'?"},
      {{"tire", "225/60R16", "--json", "245/45R18"},
       "\"245/45R18\" is not expected here; see perrev tire --help"},
      {{"serve", "--port", "99999999999"},
       "--port = 99999999999 is no number that can stand there; see perrev serve --help"}};
  for (const Row& row : rows) {
    const Ran ran = run_perrev(row.typed);
    CAPTURE(row.said);
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
    CHECK(ran.err == "perrev: error: " + row.said + "\n");
  }
}

TEST_CASE("usage errors exit with 2 and help with 0") {
  CHECK(run_perrev({}).code == 2);
  CHECK(run_perrev({"diagnoze"}).code == 2);
  CHECK(run_perrev({"diagnose"}).code == 2);
  CHECK(run_perrev({"diagnose", "x.json", "--units", "imperial"}).code == 2);
  for (const std::string command : {"diagnose", "interview", "tire", "orders", "feel"}) {
    const Ran help = run_perrev({command, "--help"});
    CHECK(help.code == 0);
    CHECK(help.out.find("Example: perrev " + command) != std::string::npos);
  }
  CHECK(run_perrev({"rules", "check", "--help"}).out.find("Example: perrev rules check") !=
        std::string::npos);
}

TEST_CASE(
    "a bare \"it shakes\" names no cause above 15 % and asks for speed, place and circumstance") {
  const Ran ran = run_perrev({"diagnose", project("cases/it_shakes.json"), "--json"});
  REQUIRE(ran.code == 0);
  const Json out = Json::parse(ran.out);
  for (const Json& cause : out["ranking"]) CHECK(cause["probability"].get<double>() <= 0.15);
  bool speed = false, place = false, circumstance = false;
  for (std::size_t i = 0; i < out["unanswered"].size() && i < 12; ++i) {
    const std::string fact = out["unanswered"][i];
    speed = speed || fact.find("speed") != std::string::npos;
    place = place || fact == "felt_at";
    circumstance = circumstance || fact.rfind("when_", 0) == 0 || fact == "began_after";
  }
  CHECK(speed);
  CHECK(place);
  CHECK(circumstance);
}

TEST_CASE("JSON: documented keys, probabilities that sum to one, weights that add up") {
  const Ran ran = run_perrev({"diagnose", project("cases/shakes_after_new_tires.json"), "--json"});
  REQUIRE(ran.code == 0);
  const Json out = Json::parse(ran.out);
  for (const char* key :
       {"rules_digest", "round", "stops", "not_listed", "ranking", "pairs", "next", "unanswered"})
    CHECK(out.contains(key));
  double alone = out["not_listed"].get<double>() + out["nothing_left"].get<double>();
  for (const Json& cause : out["ranking"]) {
    for (const char* key : {"cause", "name", "probability", "alone", "state", "evidence"})
      CHECK(cause.contains(key));
    alone += cause["alone"].get<double>();
  }
  CHECK(alone < 1.0 + 1e-9);
  CHECK(alone > 0.5);
  for (const Json& next : out["next"])
    for (const char* key : {"check", "what", "minutes", "why"}) CHECK(next.contains(key));
  CHECK(run_perrev({"diagnose", project("cases/shakes_after_new_tires.json"), "--json"}).out ==
        ran.out);
}

TEST_CASE("plain output fits 80 columns") {
  for (const char* units : {"us", "metric"}) {
    const Ran ran = run_perrev(
        {"diagnose", project("cases/shakes_after_new_tires.json"), "--all", "--units", units});
    REQUIRE(ran.code == 0);
    std::size_t at = 0;
    while (at < ran.out.size()) {
      const std::size_t end = ran.out.find('\n', at);
      std::size_t columns = 0;
      for (std::size_t i = at; i < end; ++i)
        columns += (static_cast<unsigned char>(ran.out[i]) & 0xC0u) != 0x80u;
      CHECK(columns <= 80);
      at = end + 1;
    }
  }
}

TEST_CASE("several answers of which none was ticked are told as none, not as a gap") {
  const Folder folder;
  folder.write("case.json",
               run_perrev({"simulate", "--seed", "5", "--cause", "static_imbalance"}).out);
  const Ran ran = run_perrev({"diagnose", folder.path("case.json"), "--all"});
  CHECK(ran.code == 0);
  CHECK(ran.out.find("felt at: none") != std::string::npos);
  CHECK(ran.out.find(": ;") == std::string::npos);
  CHECK(ran.out.find(": ]") == std::string::npos);
}

TEST_CASE("a vehicle of a kind that is not told is said to be taken for a car") {
  const std::string felt = an_entry("1", R"("fact": "worst_speed", "value": "65 mph")");
  const std::string kind = ", " + an_entry("2", R"("fact": "vehicle_kind", "value": "pickup")");
  const auto said = [](const std::string& entries) {
    const Ran ran = run_perrev({"diagnose", "-"}, a_case(entries));
    CHECK(ran.code == 0);
    return ran.out.find("The kind of vehicle is not told: what is felt is computed for a car.") !=
           std::string::npos;
  };
  CHECK(said(felt));
  CHECK(!said(felt + kind));
  CHECK(!said(an_entry("1", R"("fact": "powertrain", "value": "engine")")));  // nothing is felt
}
