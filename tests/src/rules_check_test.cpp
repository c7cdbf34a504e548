// `perrev rules check` from outside: its forms, its exit codes, and what it says of the shipped
// rule base.
#include <doctest/doctest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>
#include <string>

#include "engine/bench/finding.h"
#include "engine/casefile/vehicle_of.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

using namespace perrev;        // NOLINT
using namespace perrev::test;  // NOLINT
using Json = nlohmann::json;

namespace {

const std::string kSpare =
    "spare: {ask: Is there a spare, kind: yesno, base: 0.5, asked_at: bay, asked_if: {powertrain: "
    "engine}}\n";
const std::string kSpareNever =
    "spare: {ask: Is there a spare, kind: yesno, base: 0.5, asked_at: bay, asked_if: {powertrain: "
    "engine, not: {powertrain: engine}}}\n";

// The shipped rule base with one fact more.
class Changed {
 public:
  explicit Changed(const std::string& fact) {
    std::filesystem::copy(project("rules"), folder_.path("rules"),
                          std::filesystem::copy_options::recursive);
    folder_.write("rules/facts.yaml", folder_.read("rules/facts.yaml") + "\n" + fact);
  }
  Ran check(std::vector<std::string> options) const {
    options.insert(options.begin(), {"rules", "check", folder_.path("rules")});
    return run_perrev(options);
  }

 private:
  Folder folder_;
};

}  // namespace

TEST_CASE("a note is told on its line and does not fail the check") {
  const Ran ran = Changed(kSpare).check({});
  CHECK(ran.code == 0);
  CHECK(ran.err.empty());
  CHECK(ran.out.find("rules/facts.yaml:") != std::string::npos);
  CHECK(ran.out.find(": note: fact 'spare' is used nowhere; a rule that asks for it and a check "
                     "that learns it, or leave it out  [unused-fact]\n") != std::string::npos);
}

TEST_CASE("an error of a rule base that loads fails the check, notes shown or not") {
  const Changed wrong(kSpareNever);
  for (const std::vector<std::string>& options :
       {std::vector<std::string>{}, std::vector<std::string>{"--no-notes"}}) {
    const Ran ran = wrong.check(options);
    CHECK(ran.code == 1);
    CHECK(ran.err.find(": error: 'asked_if' of fact 'spare' can never be true: 'powertrain'; ") !=
          std::string::npos);
    CHECK((ran.out.find(": note: ") == std::string::npos) == !options.empty());
  }
}

TEST_CASE("--json is --format json; it has the findings, --no-notes the errors alone") {
  const Changed wrong(kSpareNever);
  const Ran ran = wrong.check({"--json"});
  CHECK(ran.code == 1);
  CHECK(ran.out == wrong.check({"--format", "json"}).out);
  const Json out = Json::parse(ran.out);
  CHECK(out["ok"] == false);
  CHECK(out["errors"].empty());
  std::set<std::string> ids;
  for (const Json& each : out["findings"]) {
    ids.insert(each["id"].get<std::string>());
    for (const char* key : {"level", "file", "line", "column", "what", "right"})
      CHECK(each.contains(key));
  }
  CHECK(ids.count("unused-fact") == 1);
  CHECK(ids.count("never-true") == 1);
  const Json errors = Json::parse(wrong.check({"--json", "--no-notes"}).out)["findings"];
  REQUIRE(errors.size() == 1);
  CHECK(errors[0]["id"] == "never-true");
}

TEST_CASE("errors of loading are results of a SARIF log") {
  const Ran ran = Changed("spare: {kind: yesno}\n").check({"--format", "sarif"});
  CHECK(ran.code == 1);
  const Json log = Json::parse(ran.out);
  const Json& results = log["runs"][0]["results"];
  REQUIRE(!results.empty());
  for (const Json& each : results) CHECK(each["ruleId"] == "load-error");
  CHECK(results[0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "facts.yaml");
}

TEST_CASE("an unknown form and a folder that is none are bad input, whatever the form") {
  CHECK(run_perrev({"rules", "check", project("rules"), "--format", "xml"}).code == 2);
  for (const char* form : {"text", "json", "sarif"}) {
    const Ran ran = run_perrev({"rules", "check", project("none"), "--format", form});
    CHECK(ran.code == 2);
    CHECK(ran.out.empty());
  }
}

TEST_CASE("the shipped rule base has no error, and few notes") {
  const Ran ran = run_perrev({"rules", "check", project("rules"), "--json"});
  CHECK(ran.code == 0);
  const Json out = Json::parse(ran.out);
  CHECK(out["ok"] == true);
  CHECK(out["findings"].size() < 10);
}

TEST_CASE("facts that the arithmetic of the vehicle reads are facts of the shipped rule base") {
  for (const std::string_view id : vehicle_facts()) {
    CAPTURE(std::string(id));
    CHECK(shipped_rules().fact_index(id) >= 0);
  }
}

TEST_CASE("the trainer's page tells every kind of finding, with its level and meaning") {
  const std::string page = read_whole(project("docs/trainer.md"));
  for (const FindingKind& kind : finding_kinds()) {
    const std::string row = "| `" + std::string(kind.id) + "` | " +
                            std::string(name_of(kind.level)) + " | " + std::string(kind.meaning) +
                            " | " + std::string(kind.advice) + " |";
    CAPTURE(row);
    CHECK(page.find(row) != std::string::npos);
  }
}
