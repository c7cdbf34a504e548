// `perrev rules test` and `perrev rules cover`, seen from outside, and what a deleted rule does.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "src/reference_cases.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::json;
namespace fs = std::filesystem;

namespace {

// The shipped rule base with one reference case, each to be changed.
class Bench {
 public:
  Bench() {
    fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive);
    put(Json::object());
  }

  // The case with these keys of its reference set otherwise.
  void put(const Json& changes) const {
    Json file = Json::parse(read_whole(project("cases/shakes_at_sixty_two.json")));
    file["reference"].update(changes);
    folder.write("cases/one.json", file.dump(2));
  }

  std::vector<std::string> command(const std::vector<std::string>& more = {}) const {
    std::vector<std::string> out = {"rules", "test", folder.path("rules")};
    out.insert(out.end(), more.begin(), more.end());
    return out;
  }
  Ran run(const std::vector<std::string>& more = {}) const { return run_perrev(command(more)); }

  Folder folder;
};

const Json kWrong = {{"true", {"worn_tie_rod"}}, {"rank", 1}};

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("the shipped cases pass, with the same bytes each time") {
  const Ran first = run_perrev({"rules", "test", project("rules")});
  CHECK(first.code == 0);
  const std::string all = std::to_string(case_paths().size());
  CHECK(contains(first.out, all + " cases: "));
  CHECK(!contains(first.out, "failed"));
  CHECK(run_perrev({"rules", "test", project("rules")}).out == first.out);
  const Json json = Json::parse(run_perrev({"rules", "test", project("rules"), "--json"}).out);
  CHECK(json["ok"] == true);
  CHECK(json["results"].size() == case_paths().size());
  CHECK(json["rules_digest"] == shipped_rules().digest);
}

TEST_CASE("a case that fails says what was expected, what came, and three rules") {
  const Bench bench;
  CHECK(bench.run().code == 0);
  CHECK(bench.run().out == "1 case: 1 as expected\n");
  bench.put(kWrong);
  const Ran ran = bench.run();
  CHECK(ran.code == 1);
  CHECK(contains(ran.out, "failed: one: expected worn_tie_rod at rank 1; came rank "));
  CHECK(contains(ran.out, "\n1 case: 0 as expected, 1 failed\n"));
  const Json json = Json::parse(bench.run({"--json"}).out);
  CHECK(json["ok"] == false);
  CHECK(json["failed"] == 1);
  const Json miss = json["results"][0]["misses"][0];
  CHECK(miss["key"] == "rank");
  REQUIRE(miss["rules"].size() == 3);
  double least = INFINITY;
  for (const Json& rule : miss["rules"]) {
    CHECK(rule["weight_decibans"].get<double>() <= least);
    least = rule["weight_decibans"].get<double>();
    CHECK(!rule["because"].get<std::string>().empty());
    CHECK(contains(ran.out, rule["name"].get<std::string>()));
  }
  CHECK(least > 0.0);
}

TEST_CASE("a known gap may fail, and fails the run once it is closed") {
  const Bench bench;
  Json gap = kWrong;
  gap["known_gap"] = "the rods are not weighed yet";
  bench.put(gap);
  const Ran open = bench.run();
  CHECK(open.code == 0);
  CHECK(open.out ==
        "known gap: one: the rods are not weighed yet\n1 case: 0 as expected, 1 known gap\n");
  bench.put({{"known_gap", "the rods are not weighed yet"}});
  const Ran closed = bench.run();
  CHECK(closed.code == 1);
  CHECK(contains(closed.out, "failed: one: known gap is closed; remove known_gap\n"));
}

TEST_CASE("what cannot be read is told, and is bad input") {
  const Bench bench;
  bench.put({{"not_abov", Json::object()}});
  const Ran unknown = bench.run({"--junit", bench.folder.path("out.xml")});
  CHECK(unknown.code == 2);
  CHECK(contains(unknown.err, "one.json:/reference/not_abov: error: unknown key"));
  CHECK(contains(unknown.out, "1 unreadable\n"));
  CHECK(contains(bench.folder.read("out.xml"), "errors=\"1\""));
  bench.put(Json::object());
  const Ran named = bench.run({"--only", "ones"});
  CHECK(named.code == 2);
  CHECK(contains(named.err, "did you mean \"one\"?"));
  CHECK(bench.run({"--only", "cases/one.json"}).code == 0);
  CHECK(bench.run({"--cases", bench.folder.path("none")}).code == 2);
  const Ran nowhere = run_perrev({"rules", "test", bench.folder.path("nowhere/rules")});
  CHECK(nowhere.code == 2);
  CHECK(contains(nowhere.err, "nowhere/rules: error: "));  // not what would be beside it
  bench.folder.write("rules/families.yaml", "tier: {nmae: Tier}\n");
  CHECK(bench.run().code == 2);
}

TEST_CASE("--junit writes one testcase a case") {
  const Bench bench;
  bench.put(kWrong);
  CHECK(bench.run({"--junit", bench.folder.path("out.xml")}).code == 1);
  const std::string xml = bench.folder.read("out.xml");
  CHECK(contains(xml, "tests=\"1\" failures=\"1\" errors=\"0\" skipped=\"0\""));
  CHECK(contains(xml, "<testcase classname=\"cases\" name=\"one\">\n      <failure type=\"rank\""));
}

TEST_CASE("--watch tests again after each save of a case or a rule file, until Ctrl-C") {
  const Bench bench;
  Running running(bench.command({"--watch"}));
  const std::string waits = "Ctrl-C ends it\n";
  CHECK(contains(running.until(waits), "1 as expected"));
  bench.put(kWrong);
  CHECK(contains(running.until(waits), "failed: one: expected worn_tie_rod"));
  bench.put(Json::object());
  CHECK(contains(running.until(waits), "1 as expected"));
  const std::string families = bench.folder.read("rules/families.yaml");
  bench.folder.write("rules/families.yaml", families + "tier: {nmae: Tier}\n");
  CHECK(!contains(running.until(waits), "as expected"));  // what is wrong is said on stderr
  // As many editors save: a new file in the place of the old one.
  bench.folder.write("rules/new", families);
  fs::rename(bench.folder.path("rules/new"), bench.folder.path("rules/families.yaml"));
  CHECK(contains(running.until(waits), "1 as expected"));
  CHECK(running.end(SIGINT) == 128 + SIGINT);
}

TEST_CASE("cover counts first, then lists, and --only leaves out the rest") {
  const Ran all = run_perrev({"rules", "cover", project("rules")});
  CHECK(all.code == 0);
  CHECK(all.out.rfind(std::to_string(case_paths().size()) + " cases\n", 0) == 0);
  CHECK(run_perrev({"rules", "cover", project("rules")}).out == all.out);
  const Json json = Json::parse(run_perrev({"rules", "cover", project("rules"), "--json"}).out);
  CHECK(json["cases"] == case_paths().size());
  CHECK(json["rules"]["total"] == shipped_rules().rules.size());
  CHECK(json["causes"]["total"] == shipped_rules().causes.size());
  for (const char* key :
       {"rules", "answers", "checks_offered", "checks_learned", "edges", "causes"})
    CHECK(json[key]["total"].get<std::size_t>() ==
          json[key]["exercised"].get<std::size_t>() + json[key]["missing"].size());
  const Json path =
      Json::parse(run_perrev({"rules", "cover", project("rules"), "--json", "--only", "path"}).out);
  CHECK(path.contains("edges"));
  CHECK(!path.contains("rules"));
  CHECK(run_perrev({"rules", "cover", "--only", "paths"}).code == 2);
}

TEST_CASE("with a rule less, only cases that answer what it asks can come otherwise") {
  std::vector<CasePath> paths = case_paths(project("cases")).value();
  const std::vector<TestedCase> whole = test_cases(shipped_reasoning().planner, paths);
  for (const char* id : {"shaft_has_no_rubber_coupling"}) {
    CAPTURE(id);
    RuleBase less = shipped_rules();
    const auto rule = std::find_if(less.rules.begin(), less.rules.end(),
                                   [&](const Rule& r) { return r.id == id; });
    REQUIRE(rule != less.rules.end());
    const std::vector<int> asks = rule->when.variables();
    less.rules.erase(rule);
    const Reasoning reasoning(less);
    const std::vector<TestedCase> tested = test_cases(reasoning.planner, paths);
    std::vector<std::string> failed;
    for (std::size_t i = 0; i < paths.size(); ++i) {
      if (!fails(tested[i].standing)) continue;
      failed.push_back(paths[i].name);
      CAPTURE(paths[i].name);
      CHECK(!fails(whole[i].standing));
      const auto read = read_reference(paths[i].path, shipped_rules());
      REQUIRE(read.ok());
      CHECK(std::any_of(asks.begin(), asks.end(), [&](int v) {
        const AnswerModel& answers = shipped_reasoning().reasoner.answers();
        return answers.anything_known(v, read->facts.now().answers);
      }));
    }
    CHECK(!failed.empty());
  }
}
