// What the server and the page are answered: the same as the command line, and problems instead of
// nonsense.
#include "src/answers/answers.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

namespace perrev {
namespace {

using Json = nlohmann::ordered_json;

const Answerer& answerer() {
  static const Answerer one(test::shipped_rules());
  return one;
}

Json asked(std::string_view name, const Json& request) {
  return Json::parse(answerer().answer(name, request.dump()));
}

Json case_at(const std::string& path) { return Json::parse(test::read_whole(path)); }

TEST_CASE("Answers are what the command line prints") {
  const std::vector<std::string> paths = test::case_paths();
  for (std::size_t i = 0; i < paths.size(); i += 12) {
    CAPTURE(paths[i]);
    const Json request = {{"case", case_at(paths[i])}, {"explained", 1000}};
    const auto printed = [&](std::vector<std::string> arguments) {
      arguments.push_back(paths[i]);
      arguments.push_back("--json");
      return Json::parse(test::run_perrev(arguments).out);
    };
    CHECK(asked("diagnosis", request)["ok"] == printed({"diagnose"}));
    CHECK(asked("plan", request)["ok"] == printed({"plan"}));
    Json road = asked("road", request)["ok"];
    CHECK(road["text"] == test::run_perrev({"plan", "--road", paths[i]}).out);
    road.erase("text");
    CHECK(road == printed({"plan", "--road"}));
  }
}

// Common practice: jointed half shafts lead to wheels that are sprung one by one.
TEST_CASE("Half shafts are not what shakes where every driven axle is solid") {
  const auto half_shafts = [](const std::vector<std::pair<std::string, std::string>>& told) {
    Json entries = Json::array();
    for (const auto& [fact, value] : told)
      entries.push_back({{"id", fact},
                         {"at", "2026-02-03T09:00:00Z"},
                         {"by", "bay"},
                         {"fact", fact},
                         {"value", value}});
    const Json file = {{"perrev_case", 1}, {"label", ""}, {"entries", entries}};
    const Json ok = asked("diagnosis", {{"case", file}})["ok"];
    double most = 0.0;
    const RuleBase& base = test::shipped_rules();
    for (const Json& ranked : ok["ranking"]) {
      const int cause = base.cause_index(ranked["cause"].get<std::string>());
      const Cause& of = base.causes[static_cast<std::size_t>(cause)];
      if (base.families[static_cast<std::size_t>(of.family)].id == "half_shaft")
        most = std::max(most, ranked["alone"].get<double>() / ok["not_listed"].get<double>());
    }
    return most;
  };
  const double of_front_drive = half_shafts({{"driven_axle", "front"}});
  CHECK(half_shafts({{"driven_axle", "rear"}, {"rear_axle_kind", "independent"}}) >
        of_front_drive / 10.0);
  CHECK(half_shafts({{"driven_axle", "rear"}, {"rear_axle_kind", "solid_driven"}}) <
        of_front_drive / 50.0);
  CHECK(half_shafts({{"driven_axle", "rear"}, {"vehicle_kind", "pickup"}}) < of_front_drive / 10.0);
  for (const char* driven : {"all", "part_time"})
    CHECK(half_shafts({{"driven_axle", driven},
                       {"rear_axle_kind", "solid_driven"},
                       {"front_axle_kind", "solid"}}) < of_front_drive / 50.0);
  CHECK(half_shafts({{"driven_axle", "all"}, {"rear_axle_kind", "solid_driven"}}) >
        of_front_drive / 10.0);
}

TEST_CASE("The parts of a diagnosis agree with each other") {
  const std::vector<std::string> paths = test::case_paths();
  for (std::size_t i = 0; i < paths.size(); i += 5) {
    CAPTURE(paths[i]);
    const Json request = {{"case", case_at(paths[i])}};
    const Json whole = asked("diagnosis", request)["ok"];
    const Json brief = asked("ranking", request)["ok"];
    CHECK(brief["not_listed"] == whole["not_listed"]);
    REQUIRE(!brief["ranking"].empty());
    for (std::size_t c = 0; c < brief["ranking"].size(); ++c)
      for (const char* key : {"cause", "name", "probability", "state"})
        CHECK(brief["ranking"][c][key] == whole["ranking"][c][key]);
    for (const std::size_t c : {std::size_t{0}, std::size_t{3}}) {
      Json one = request;
      one["cause"] = whole["ranking"][c]["cause"];
      CHECK(asked("reasons", one)["ok"] == whole["ranking"][c]);
    }
    CHECK_FALSE(whole["ranking"][5].contains("evidence"));
  }
}

TEST_CASE(
    "Open questions: the next is one of them, none is known already, skipped ones stay away") {
  const std::vector<std::string> paths = test::case_paths();
  for (std::size_t i = 0; i < paths.size(); i += 7)
    for (const char* by : {"write_up", "road", "bay"}) {
      CAPTURE(paths[i]);
      CAPTURE(by);
      Json request = {{"case", case_at(paths[i])}, {"by", by}};
      const Json open = asked("questions", request)["ok"];
      if (!open["next"].is_null())
        CHECK(std::count(open["all"].begin(), open["all"].end(), open["next"]) == 1);
      for (const Json& entry : request["case"]["entries"]) {
        if (!entry.contains("fact") || entry["by"] != by) continue;
        const bool again = std::any_of(open["all"].begin(), open["all"].end(), [&](const Json& q) {
          return q["fact"] == entry["fact"] &&
                 (q["place"].is_null() ? !entry.contains("place")
                                       : q["place"] == entry.value("place", ""));
        });
        const bool may_again = std::any_of(
            request["case"]["entries"].begin(), request["case"]["entries"].end(),
            [](const Json& e) { return e.contains("repair") || e.contains("retracts"); });
        if (!may_again) CHECK_FALSE_MESSAGE(again, entry.dump());
      }
      request["skipped"] = open["all"];
      const Json nothing = asked("questions", request)["ok"];
      CHECK(nothing["next"].is_null());
      CHECK(nothing["all"].empty());
    }
}

TEST_CASE(
    "What was begun at one wheel goes on at the next, and what is skipped is not asked round") {
  const Json entry = {{"id", "900"},        {"at", "2030-01-01T00:00:00Z"}, {"by", "bay"},
                      {"fact", "rim_mark"}, {"place", "left_front"},        {"value", "no"}};
  int asked_on = 0;
  for (const std::string& path : test::case_paths()) {
    CAPTURE(path);
    Json request = {{"case", case_at(path)}, {"by", "bay"}};
    const Json open = asked("questions", request)["ok"]["all"];
    for (const Json& question : open)
      if (question["place"] == "left_front") {
        const RuleBase& base = test::shipped_rules();
        const Fact& fact = base.facts[static_cast<std::size_t>(
            base.fact_index(question["fact"].get<std::string>()))];
        if (fact.kind != FactKind::yesno || fact.stop) continue;
        Json longer = request;
        longer["case"]["entries"].push_back(entry);
        longer["case"]["entries"].back()["fact"] = question["fact"];
        const Json next = asked("questions", longer)["ok"]["next"];
        CHECK(next["fact"] == question["fact"]);
        CHECK(next["place"] != "left_front");
        ++asked_on;
        break;
      }
    // Skipped or unsure: the same goes on to be asked.
    Json by_write_up = {{"case", case_at(path)}, {"by", "write_up"}};
    const Json next = asked("questions", by_write_up)["ok"]["next"];
    if (next.is_null() || !next["place"].is_null()) continue;
    Json skipped = by_write_up, unsure = by_write_up;
    skipped["skipped"] = Json::array({next});
    Json said = {{"id", "900"},
                 {"at", "2030-01-01T00:00:00Z"},
                 {"by", "write_up"},
                 {"fact", next["fact"]},
                 {"answer", "unsure"}};
    unsure["case"]["entries"].push_back(said);
    CHECK(asked("questions", skipped)["ok"]["next"] == asked("questions", unsure)["ok"]["next"]);
  }
  CHECK(asked_on > 40);
}

TEST_CASE("The catalogue names every part of the rule base, in both systems of units") {
  const Json us = asked("catalogue", Json::object())["ok"];
  const Json metric = asked("catalogue", {{"units", "metric"}})["ok"];
  CHECK(us["facts"].size() == test::shipped_rules().facts.size());
  CHECK(us["causes"].size() == test::shipped_rules().causes.size());
  CHECK(us["checks"].size() == test::shipped_rules().checks.size());
  CHECK(us["repairs"].size() == test::shipped_rules().repairs.size());
  for (std::size_t i = 0; i < us["facts"].size(); ++i) {
    const Json& fact = us["facts"][i];
    CHECK(fact["unit"].is_null() == (fact["kind"] != "number"));
    if (fact["dimension"] == "speed") {
      CHECK(fact["unit"] == "mph");
      CHECK(metric["facts"][i]["unit"] == "km/h");
    }
  }
}

TEST_CASE("A typed reading is told in both systems and held against its limit") {
  struct Row {
    const char *fact, *typed, *units, *us, *finding;
  };
  // 25.4 mm an inch, 4.448222 N a pound (NIST SP 811, appendix B); limits of rules/limits.yaml.
  const Row rows[] = {
      {"worst_speed", "65", "us", "65 mph", nullptr},
      {"worst_speed", "105 km/h", "us", "65.244 mph", nullptr},
      {"worst_speed", "100", "metric", "62.1371 mph", nullptr},
      {"tread_radial_runout", "0.5 mm", "us", nullptr, "good"},
      {"tread_radial_runout", "0.7 mm", "us", nullptr, "between"},
      {"tread_radial_runout", "1.0 mm", "us", nullptr, "bad"},
      {"tread_radial_runout", "1.2", "metric", nullptr, "bad"},
      {"hub_face_runout", "0.002 in", "us", "0.002 in", "between"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.fact);
    CAPTURE(row.typed);
    const Json told =
        asked("reading", {{"fact", row.fact}, {"typed", row.typed}, {"units", row.units}});
    REQUIRE(told.contains("ok"));
    if (row.us) CHECK(told["ok"]["us"] == row.us);
    CHECK(told["ok"]["finding"] == (row.finding ? Json(row.finding) : Json(nullptr)));
    CHECK(told["ok"]["limit"].is_null() == (row.finding == nullptr));
  }
}

TEST_CASE("A customer's words become facts that an entry can hold, with the words that made them") {
  const std::string text =
      "My steering wheel shakes at 65 mph since I got new tires \xe2\x80\x93 help";
  const Json found = asked("phrases", {{"text", text}})["ok"]["found"];
  REQUIRE(found.size() >= 3);
  Json request = {{"case", {{"perrev_case", 1}, {"entries", Json::array()}}}};
  for (const Json& one : found) {
    request["case"]["entries"].push_back({{"id", one["fact"]},
                                          {"at", "2026-01-01T00:00:00Z"},
                                          {"by", "write_up"},
                                          {"fact", one["fact"]},
                                          {"value", one["value"]}});
    const std::string words = one["words"];
    CHECK_FALSE(words.empty());
    CHECK(text.find(words.substr(0, words.find(" ... "))) != text.npos);
  }
  CHECK(asked("check_case", request)["ok"] == Json::object());
}

TEST_CASE("A request nested beyond all is refused, whatever nests in it") {
  const std::string brackets = std::string(100000, '[') + std::string(100000, ']');
  for (const std::string& of : {R"({"case": )" + brackets + "}", R"({"units": )" + brackets + "}",
                                brackets, std::string(100000, '[')}) {
    const Json answer = Json::parse(answerer().answer("check_case", of));
    CHECK(answer["problems"][0]["what"] == "the request is nested too deep");
  }
}

TEST_CASE("Nonsense is answered with problems") {
  const std::string good = test::read_whole(test::case_paths().front());
  struct Row {
    const char *name, *request, *what;
  };
  const Row rows[] = {
      {"", "{}", "nothing is answered under this name"},
      {"../plan", "{}", "nothing is answered under this name"},
      {"plan", "", "the request is no JSON object"},
      {"plan", "[]", "the request is no JSON object"},
      {"plan", "{", "the request is no JSON object"},
      {"plan", "{}", "the request has no case"},
      {"plan", R"({"case": 1})", "this is not a case"},
      {"diagnosis", R"({"case": {"perrev_case": 99, "entries": []}})", ""},
      {"reasons", R"({"case": {"perrev_case": 1, "entries": []}, "cause": "gremlins"})",
       "there is no such cause"},
      {"questions", R"({"case": {"perrev_case": 1, "entries": []}, "by": "cat"})",
       "nobody is named so"},
      {"plan", R"({"case": {"perrev_case": 1, "entries": []}, "ready": "anvil"})",
       "no set-up is named 'anvil'"},
      {"effect", R"({"case": {"perrev_case": 1, "entries": []}, "fact": "mood"})",
       "there is no fact 'mood'"},
      {"reading", R"({"fact": "worst_speed", "typed": "quick"})", ""},
      {"reading", R"({"fact": "worst_speed", "typed": "900 mph"})", ""},
      {"reading", R"({"fact": 7})", "there is no fact ''"},
      {"tire", R"({"text": "round"})", ""},
      {"tire", R"({"text": "225/60R16", "speed": "65"})", ""},
      {"lines", R"({"case": {"perrev_case": 1, "entries": []}, "speed": "fast"})", ""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.name);
    CAPTURE(row.request);
    const Json told = Json::parse(answerer().answer(row.name, row.request));
    CHECK_FALSE(told.contains("ok"));
    REQUIRE(told["problems"].size() >= 1);
    if (*row.what) CHECK(told["problems"][0]["what"] == row.what);
  }
  // The text of a case may be handed over beside the request.
  CHECK(Json::parse(answerer().answer("check_case", "{}", good))["ok"] == Json::object());
}

}  // namespace
}  // namespace perrev
