// What the page of the rule base asks: rules in short, everything that touches one thing, drawings.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <set>
#include <thread>
#include <vector>

#include "engine/bench/explain_names.h"
#include "src/answers/answers.h"
#include "src/drawing_answer.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

namespace perrev {
namespace {

using Json = nlohmann::ordered_json;

const Answerer& answerer() {
  static const Answerer one(test::shipped_rules(), {{"drawing", drawing_answer}});
  return one;
}

Json asked(std::string_view name, const Json& request) {
  return Json::parse(answerer().answer(name, request.dump()));
}

Json case_at(const std::string& path) { return Json::parse(test::read_whole(path)); }

// As the command prints it, with files named from the folder of the rule base on.
Json printed(const std::vector<std::string>& arguments) {
  std::string text = test::run_perrev(arguments).out;
  const std::string folder = test::project("rules") + "/";
  for (std::size_t at; (at = text.find(folder)) != std::string::npos;)
    text.erase(at, folder.size());
  return Json::parse(text);
}

TEST_CASE("Every rule in short names causes and facts of the catalogue") {
  const RuleBase& base = test::shipped_rules();
  const Json told = asked("rules", Json::object())["ok"];
  CHECK(told["rules_digest"] == base.digest);
  REQUIRE(told["rules"].size() == base.rules.size());
  CHECK(told["gates"].size() == base.gates.size());
  CHECK(told["ends"].size() == base.ends.size());
  for (const Json& rule : told["rules"]) {
    CAPTURE(rule.dump());
    CHECK_FALSE(rule["because"].get<std::string>().empty());
    CHECK_FALSE(rule["when"].get<std::string>().empty());
    CHECK_FALSE(rule["causes"].empty());
    CHECK_FALSE(rule["facts"].empty());
    for (const Json& fact : rule["facts"]) CHECK(base.fact_index(fact.get<std::string>()) >= 0);
  }
  const Json metric = asked("rules", {{"units", "metric"}})["ok"];
  std::size_t other_units = 0;
  for (std::size_t i = 0; i < told["rules"].size(); ++i)
    other_units += told["rules"][i]["when"] != metric["rules"][i]["when"];
  CHECK(other_units > 0);
}

TEST_CASE("What is explained is what the command prints, with a case and without") {
  const std::string path = test::case_paths().front();
  const std::vector<NamedThing> things = all_things(test::shipped_rules());
  std::size_t compared = 0;
  for (std::size_t i = 0; i < things.size(); i += things.size() / 12) {
    const std::string& id = id_of(test::shipped_rules(), things[i]);
    CAPTURE(id);
    const Json request = {{"name", id}, {"units", "metric"}};
    Json with_case = request;
    with_case["case"] = case_at(path);
    CHECK(asked("explain", request)["ok"] == printed({"rules", "explain", id, "--json"}));
    CHECK(asked("explain", with_case)["ok"] ==
          printed({"rules", "explain", id, "--json", "--case", path}));
    ++compared;
  }
  CHECK(compared >= 12);
}

TEST_CASE("Everything that an explanation names can be explained in its turn") {
  const RuleBase& base = test::shipped_rules();
  const auto known = [&](const char* kind, const Json& id) {
    return asked("explain", {{"name", id}, {"kind", kind}}).contains("ok");
  };
  for (const NamedThing& thing : all_things(base)) {
    if (thing.index % 9 != 0) continue;
    const std::string kind(name_of(thing.kind));
    const Json told = asked("explain", {{"name", id_of(base, thing)}, {"kind", kind}})["ok"];
    REQUIRE(told["explained"].size() == 1);
    const Json& one = told["explained"][0];
    CAPTURE(one["id"].dump());
    CHECK(one["kind"] == kind);
    CHECK(one["place"]["line"].get<int>() > 0);
    CHECK(one["place"]["file"].get<std::string>().find(test::project("rules")) ==
          std::string::npos);
    if (thing.kind == NameKind::rule)
      for (const Json& part : one["when"])
        CHECK((part["fact"].is_null() ? part["ids"] == "" : known("fact", part["fact"])));
    if (thing.kind == NameKind::cause)
      for (const Json& rule : one["rules"]) CHECK(known("rule", rule["rule"]));
    if (thing.kind == NameKind::fact)
      for (const Json& check : one["checks"]) CHECK(known("check", check["check"]));
    if (thing.kind == NameKind::check)
      for (const Json& fact : one["learns"]) CHECK(known("fact", fact));
  }
}

TEST_CASE("A check that is held back in a case says by what") {
  std::size_t held = 0, offered = 0;
  const RuleBase& base = test::shipped_rules();
  const std::vector<std::string> paths = test::case_paths();
  for (std::size_t i = 0; i < paths.size(); i += 40)
    for (const Check& check : base.checks) {
      const Json told =
          asked("explain", {{"name", check.id}, {"kind", "check"}, {"case", case_at(paths[i])}});
      const Json& now = told["ok"]["explained"][0]["in_case"];
      CAPTURE(paths[i]);
      CAPTURE(check.id);
      bool open = false, gates = true;
      for (const Json& edge : now["edges_in"])
        open = open || (edge["left"] == true && edge["truth"] == "yes");
      for (const Json& gate : now["gates"]) {
        CHECK(gate["passed"].get<bool>() == gate["missing"].empty());
        gates = gates && gate["passed"].get<bool>();
      }
      const bool free = open && gates && !now["stopped"].get<bool>() && now["lacking"].empty() &&
                        now["applies"] != "no" && !now["done"].get<bool>();
      CHECK(now["offered"].get<bool>() == free);
      ++(free ? offered : held);
    }
  CHECK(held > 0);
  CHECK(offered > 0);
}

TEST_CASE("A fact that stops the car says so where it is explained") {
  std::size_t stops = 0;
  for (const Fact& fact : test::shipped_rules().facts) {
    const Json told = asked("explain", {{"name", fact.id}, {"kind", "fact"}});
    const Json& stop = told["ok"]["explained"][0]["stop"];
    CHECK(stop.is_null() != fact.stop.has_value());
    if (!fact.stop) continue;
    CHECK(stop["caution"] == fact.stop->caution);
    ++stops;
  }
  CHECK(stops > 0);
}

TEST_CASE("A drawing is what the command draws; several at once are the same") {
  const std::string path = test::case_paths().front();
  const Json request = {
      {"graph", "path"}, {"cause", "bent_rim_radial"}, {"near", 2}, {"case", case_at(path)}};
  const Json told = asked("drawing", request);
  const test::Ran drawn = test::run_perrev({"rules", "draw", "--cause", "bent_rim_radial", "--near",
                                            "2", "--case", path, "--format", "svg"});
  if (drawn.code != 0) {  // built without Graphviz
    CHECK(told["problems"].size() == 1);
    return;
  }
  REQUIRE(told.contains("ok"));
  CHECK(told["ok"]["svg"] == drawn.out);
  CHECK(told["ok"]["shapes"].get<int>() > 1);
  std::set<std::string> answers;
  std::vector<std::string> out(8);
  std::vector<std::thread> threads;
  for (std::string& one : out)
    threads.emplace_back([&] { one = answerer().answer("drawing", request.dump()); });
  for (std::thread& one : threads) one.join();
  answers.insert(out.begin(), out.end());
  CHECK(answers.size() == 1);
}

TEST_CASE("What cannot be explained or drawn is answered with problems") {
  struct Row {
    const char *name, *request, *what;
  };
  const Row rows[] = {
      {"explain", "{}", "no rule, cause, fact or check is named \"\""},
      {"explain", R"({"name": "bent_rim_radiel"})",
       "no rule, cause, fact or check is named \"bent_rim_radiel\""},
      {"explain", R"({"name": "bent_rim_radial", "kind": "fact"})",
       "no fact is named \"bent_rim_radial\""},
      {"explain", R"({"name": "bent_rim_radial", "case": 7})", "this is not a case"},
      {"drawing", R"({"graph": "pie"})", "there is no graph \"pie\""},
      {"drawing", R"({"cause": "bent_rim_radiel"})", "unknown cause \"bent_rim_radiel\""},
      {"drawing", R"({"cause": "bent_rim_radial", "family": "wheel_end"})",
       "a part is drawn around one thing"},
      {"drawing", R"({"near": 2})", "`near` says how far the path is drawn around something"},
      {"drawing", R"({"cause": "bent_rim_radial", "near": -1})", "this is no number of edges"},
      {"drawing", R"({"case": {}})", ""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.request);
    const Json told = Json::parse(answerer().answer(row.name, row.request));
    CHECK_FALSE(told.contains("ok"));
    REQUIRE(told["problems"].size() >= 1);
    if (*row.what) CHECK(told["problems"][0]["what"] == row.what);
  }
  CHECK(answerer().knows("drawing"));
  CHECK_FALSE(Answerer(test::shipped_rules()).knows("drawing"));
}

}  // namespace
}  // namespace perrev
