// The interview as a person at the counter meets it, with a pipe as standard input.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "src/answers/typed_answer.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::json;

namespace {

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
    ++found;
  return found;
}

Ran interview(const Folder& folder, const std::string& typed) {
  return run_perrev({"interview", folder.path("case.json")}, typed);
}

}  // namespace

TEST_CASE("every answer is in the case before the next question") {
  const Folder folder;
  const Ran ran = interview(folder, "It shakes the wheel on the motorway\nno\n");
  CHECK(ran.code == 0);
  const Json saved = Json::parse(folder.read("case.json"));
  REQUIRE(saved["entries"].size() == 2);
  CHECK(saved["entries"][0]["fact"] == "complaint_words");
  CHECK(saved["entries"][0]["value"] == "It shakes the wheel on the motorway");
  CHECK(saved["entries"][1]["value"] == "no");
  CHECK(folder.names() == std::vector<std::string>{"case.json"});
}

TEST_CASE("it goes on from a half-done case and asks nothing twice") {
  const Folder folder;
  interview(folder, "Shakes\nno\nno\n");
  const std::string before = folder.read("case.json");
  const Ran again = interview(folder, "");
  CHECK(again.out.find("In the customer") == std::string::npos);
  CHECK(folder.read("case.json") == before);
  const Ran more = interview(folder, "no\n");
  CHECK(Json::parse(folder.read("case.json"))["entries"].size() == 4);
}

TEST_CASE("a second safety answer ends it too, and the bay is asked what lifts the stops") {
  const Folder folder;
  interview(folder, "Shakes\nyes\n");
  const Ran second = interview(folder, "yes\nno\n");
  CHECK(second.out.find("The interview ends here.") != std::string::npos);
  CHECK(Json::parse(folder.read("case.json"))["entries"].size() == 3);
  const Ran bay =
      run_perrev({"interview", folder.path("case.json"), "--by", "bay"}, "yes\nyes\ndone\n");
  CHECK(bay.code == 0);
  const Ran after = run_perrev({"diagnose", folder.path("case.json"), "--json"});
  CHECK(Json::parse(after.out)["stops"].empty());
}

TEST_CASE("all answers for the places that are left, not for those that were read") {
  const Folder folder;
  folder.write("case.json", R"({"perrev_case": 1, "label": "", "entries": [
    {"id": "1", "at": "2026-05-04T09:12:00Z", "by": "bay", "fact": "tread_bulge", "place": "left_front", "value": "no"}]})");
  std::string typed;
  for (int i = 0; i < 400; ++i) typed += "all no\n";
  run_perrev({"interview", folder.path("case.json"), "--by", "bay"}, typed + "done\n");
  const Json saved = Json::parse(folder.read("case.json"));
  for (const Json& entry : saved["entries"]) CHECK(entry.value("place", "") != "all");
  std::size_t left_front = 0;
  for (const Json& entry : saved["entries"])
    left_front += entry["fact"] == "tread_bulge" && entry["place"] == "left_front";
  CHECK(left_front == 1);
}

TEST_CASE("words that steer are read in any case and with blanks; nothing typed is no answer") {
  const Folder folder;
  const Ran ran = interview(folder, "\n  Unsure \nSKIP\n DONE\n");
  CHECK(ran.code == 0);
  CHECK(ran.out.find("nothing was typed") != std::string::npos);
  const Json saved = Json::parse(folder.read("case.json"));
  REQUIRE(saved["entries"].size() == 1);
  CHECK(saved["entries"][0]["answer"] == "unsure");
}

TEST_CASE("a number is shown as it was understood") {
  const Folder folder;
  const Ran ran =
      interview(folder, "Shakes\nno\nno\nno\n1\n1\n1\n1\n1\n1\n1\n205/55R16\n65\ndone\n");
  CHECK(ran.out.find("read as 65 mph, that is 104.607 km/h") != std::string::npos);
}

TEST_CASE("a safety answer ends it with the caution in plain words") {
  const Folder folder;
  const Ran ran = interview(folder, "Shakes\nyes\nno\nno\n");
  CHECK(ran.code == 0);
  CHECK(ran.out.find("STOP: ") != std::string::npos);
  CHECK(ran.out.find("Lifted only when the bay can answer: ") != std::string::npos);
  CHECK(Json::parse(folder.read("case.json"))["entries"].size() == 2);
  const Ran again = interview(folder, "done\n");
  CHECK(again.out.find("It must not be driven; the questions go on.") != std::string::npos);
}

TEST_CASE("back retracts, skip and done leave no entry, unsure is an answer") {
  const Folder folder;
  const Ran ran = interview(folder, "Shakes\nno\nback\nunsure\nskip\ndone\n");
  CHECK(ran.code == 0);
  const Json saved = Json::parse(folder.read("case.json"));
  REQUIRE(saved["entries"].size() == 4);
  CHECK(saved["entries"][2]["retracts"] == saved["entries"][1]["id"]);
  CHECK(saved["entries"][3]["answer"] == "unsure");
  CHECK(saved["entries"][3]["fact"] == saved["entries"][1]["fact"]);
}

TEST_CASE("what cannot be read is said, and the question stays") {
  const Folder folder;
  const Ran ran = interview(folder, "Shakes\nmaybe\nwhy\n?\nno\n");
  CHECK(ran.out.find("\"maybe\" is neither yes nor no; yes, no or unsure") != std::string::npos);
  CHECK(ran.out.find("What each answer would do to the first three") != std::string::npos);
  CHECK(ran.out.find("Nobody drives it before this is answered.") != std::string::npos);
  CHECK(Json::parse(folder.read("case.json"))["entries"].size() == 2);
}

TEST_CASE("answers by number, by word and by the words shown mean the same") {
  const auto entries_of = [](const std::string& typed) {
    const Folder folder;
    const Ran ran = interview(folder, typed);
    CHECK(ran.code == 0);
    Json values = Json::array();
    const Json saved = Json::parse(folder.read("case.json"));
    for (const Json& entry : saved["entries"]) values.push_back({entry["fact"], entry["value"]});
    return values;
  };
  const Json by_number = entries_of("Shakes\nno\nno\nno\n1\n1\n1\n");
  REQUIRE(by_number.size() == 7);
  CHECK(by_number[4] == Json{"lumpy_at_walking_pace", "nothing"});
  CHECK(by_number == entries_of("Shakes\nn\nNO\nno\nnothing\nnormal\nnormal\n"));
}

TEST_CASE("JSON goes to standard output alone, the questions to the other") {
  const Folder folder;
  const Ran ran = run_perrev({"interview", folder.path("case.json"), "--json"}, "Shakes\ndone\n");
  CHECK(ran.code == 0);
  CHECK(Json::parse(ran.out).contains("ranking"));
  CHECK(count(ran.err, "> ") >= 2);
}

TEST_CASE("a case that cannot be written is an error and asks nothing") {
  const Ran ran = run_perrev({"interview", "/nowhere/at/all/case.json"}, "Shakes\n");
  CHECK(ran.code == 2);
  CHECK(ran.err.find("/nowhere/at/all/case.json: error: cannot be written") != std::string::npos);
}

TEST_CASE(
    "a bare number is taken in the unit of the question, in which the whole range is allowed") {
  for (const Units units : {Units::us, Units::metric})
    for (const Fact& fact : shipped_rules().facts) {
      if (fact.kind != FactKind::number) continue;
      CAPTURE(fact.id);
      const std::string unit = fact.asked_unit(units);
      const std::string question = question_text(fact, "", units);
      CHECK(question.find(unit.empty() ? "(a number)" : "taken as " + unit + ")") !=
            std::string::npos);
      const std::string middle = fact.shown(0.5 * (fact.low + fact.high), units);
      const std::string bare = middle.substr(0, middle.find(' '));
      const auto typed = read_typed(fact, bare, units);
      REQUIRE(typed.ok());
      const auto value = parse_quantity((*typed).front(), fact.unit);
      REQUIRE(value.ok());
      CHECK(*value >= fact.low);
      CHECK(*value <= fact.high);
    }
}

TEST_CASE("an engine's speed is asked in rpm, a share in percent") {
  const RuleBase& base = shipped_rules();
  const auto typed = [&](const char* fact, const char* text) {
    return read_typed(base.facts[static_cast<std::size_t>(base.fact_index(fact))], text, Units::us);
  };
  CHECK(*typed("rpm_at_worst", "1800") == std::vector<std::string>{"1800 rpm"});
  CHECK(*typed("rpm_at_worst", "30 Hz") == std::vector<std::string>{"30 Hz"});
  CHECK(*typed("measured_frequency", "13") == std::vector<std::string>{"13 Hz"});
  CHECK(*typed("pressure_deviation", "12") == std::vector<std::string>{"12 %"});
}
