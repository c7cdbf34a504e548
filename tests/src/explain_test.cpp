// `perrev rules explain` and `draw`: everything of the shipped rule base, with reference cases, and
// the words themselves on a small one.
#include "src/answers/explain.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "engine/bench/explain_case.h"
#include "engine/bench/explain_names.h"
#include "engine/bench/explain_touches.h"
#include "engine/json_text.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

using namespace perrev;
using perrev::test::case_paths;
using perrev::test::Folder;
using perrev::test::project;
using perrev::test::Ran;
using perrev::test::read_whole;
using perrev::test::run_perrev;
using perrev::test::shipped_reasoning;
using perrev::test::shipped_rules;
using Json = nlohmann::ordered_json;

namespace {

// Characters, not bytes.
std::size_t columns(const std::string& line) {
  return static_cast<std::size_t>(std::count_if(line.begin(), line.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xc0u) != 0x80u;
  }));
}

// The first line that is too wide and could have been broken; empty when there is none.
std::string too_wide(const std::string& text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);)
    if (columns(line) > 80 && line.find(' ', line.find_first_not_of(' ')) != std::string::npos)
      return line;
  return {};
}

OpenCase opened(const std::string& path) {
  auto read = read_case(path, read_whole(path), shipped_rules());
  REQUIRE(read.ok());
  return std::move(read).value();
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("every rule, cause, fact and check is explained, within 80 columns") {
  const Explainer with{shipped_reasoning().reasoner, nullptr, Units::us};
  const std::vector<NamedThing> all = all_things(shipped_rules());
  CHECK(all.size() > 400);
  for (const NamedThing& thing : all) {
    const std::string& id = id_of(shipped_rules(), thing);
    CAPTURE(id);
    const std::string text = explain_text(with, thing);
    CHECK(has(text, id));
    CHECK(too_wide(text) == "");
    CHECK(!has(text, "In this case"));
    const Json json = explain_json(with, thing);
    CHECK(json["id"] == id);
    CHECK(json["kind"] == name_of(thing.kind));
    CHECK(json.contains("place"));
    CHECK(!json.contains("in_case"));
  }
}

TEST_CASE("the parts of every rule agree with the engine on every reference case") {
  int spoke = 0;
  for (const std::string& path : case_paths()) {
    CAPTURE(path);
    const OpenCase open = opened(path);
    const std::vector<Reasons> reasons = all_reasons(shipped_reasoning().reasoner, open.facts);
    for (std::size_t r = 0; r < shipped_rules().rules.size(); ++r) {
      const Rule& rule = shipped_rules().rules[r];
      CAPTURE(rule.id);
      const std::vector<ConditionPart> parts = parts_of(shipped_rules(), rule.when, Units::us);
      if (r % 20 != 0) {  // its weights need all reasons of its causes: a twentieth of the rules
        for (const RoundFacts& round : open.facts.rounds) {
          const std::vector<std::string> places = places_read(shipped_rules(), rule.when);
          const auto whole =
              truths_of(shipped_rules(), *parts.front().condition, round.answers, places);
          const Truth expected = truth_somewhere(shipped_rules(), rule.when, round.answers);
          REQUIRE(*std::max_element(whole.begin(), whole.end()) == expected);
          spoke += expected == Truth::yes;
        }
        continue;
      }
      const RuleInCase told =
          rule_in_case(shipped_reasoning().reasoner, open.facts, static_cast<int>(r));
      for (std::size_t round = 0; round < told.rounds.size(); ++round)
        for (const GroupWeight& weight : told.rounds[round].weights) {
          if (weight.cause == shipped_rules().nothing_left()) continue;
          const int group = shipped_reasoning().reasoner.answers().group_of(
              weight.cause, rule.when.variables().front());
          double expected = 0.0;
          for (const Reason& reason : reasons[static_cast<std::size_t>(weight.cause)].evidence)
            if (reason.round == round && reason.cause == weight.cause && reason.group == group)
              expected = reason.weight_decibans;
          REQUIRE(weight.decibans == expected);
        }
    }
  }
  CHECK(spoke > 500);
}

TEST_CASE("with a case, evidence in words adds up and entries in words count once") {
  const std::vector<std::string> paths = case_paths();
  for (std::size_t i = 0; i < paths.size(); i += 6) {
    CAPTURE(paths[i]);
    const OpenCase open = opened(paths[i]);
    const Explainer with{shipped_reasoning().reasoner, &open, Units::us};
    const Ranking ranking = rank(with.reasoner, open.facts);
    for (std::size_t c = 0; c < shipped_rules().causes.size(); c += 7) {
      const NamedThing cause{NameKind::cause, static_cast<int>(c)};
      CHECK(too_wide(explain_text(with, cause)) == "");
      const Json json = Json::parse(indented_json(explain_json(with, cause)));
      const Json& told = json["in_case"];
      double sum = told["prior_decibans"].get<double>();
      bool impossible = false;
      for (const Json& item : told["evidence"]) {
        impossible = impossible || item["weight_decibans"].is_null();
        if (!item["weight_decibans"].is_null()) sum += item["weight_decibans"].get<double>();
      }
      const double odds = ranking.log_odds[c];
      CHECK(impossible == std::isinf(odds));
      if (!impossible) CHECK(sum == doctest::Approx(decibans_of(odds)).epsilon(1e-4));
    }
    for (std::size_t f = 0; f < shipped_rules().facts.size(); f += 3) {
      const NamedThing fact{NameKind::fact, static_cast<int>(f)};
      const std::string text = explain_text(with, fact);
      CHECK(too_wide(text) == "");
      CHECK(has(text, "Nothing is entered about it.") ==
            explain_json(with, fact)["in_case"]["entries"].empty());
    }
    for (std::size_t c = 0; c < shipped_rules().checks.size(); c += 5)
      CHECK(too_wide(explain_text(with, {NameKind::check, static_cast<int>(c)})) == "");
    for (std::size_t r = 0; r < shipped_rules().rules.size(); r += 40)
      CHECK(too_wide(explain_text(with, {NameKind::rule, static_cast<int>(r)})) == "");
  }
}

TEST_CASE("the program explains by name, in words and as JSON, and says what was meant") {
  const Ran words = run_perrev({"rules", "explain", "began_after_tires", "--case",
                                project("cases/shakes_after_new_tires.json")});
  CHECK(words.code == 0);
  CHECK(has(words.out, "In this case: "));
  CHECK(has(words.out, "It spoke: its condition holds."));
  const Ran json = run_perrev({"rules", "explain", "began_after_tires", "--json"});
  CHECK(json.code == 0);
  const Json told = Json::parse(json.out);
  CHECK(told["explained"].size() == 1);
  CHECK(told["rules_digest"] == shipped_rules().digest);
  const Ran wrong = run_perrev({"rules", "explain", "began_after_tyres"});
  CHECK(wrong.code == 2);
  CHECK(wrong.out == "");
  CHECK(has(wrong.err, "did you mean 'began_after_tires'?"));
}

TEST_CASE("a fact that the arithmetic of rotating parts reads says so, though no rule may") {
  const RuleBase& base = shipped_rules();
  const Explainer with{shipped_reasoning().reasoner, nullptr, perrev::Units::us};
  for (const auto& [id, computed] :
       std::vector<std::pair<std::string, bool>>{{"tire_size", true}, {"nuts_loose", false}}) {
    CAPTURE(id);
    const auto things = things_named(base, id);
    REQUIRE(things.size() == 1);
    CHECK(explain_json(with, things[0])["computed"] == computed);
    CHECK(has(explain_text(with, things[0]), "Computed with it") == computed);
  }
}

TEST_CASE("the program draws, and says plainly what it cannot draw") {
  const Ran whole = run_perrev({"rules", "draw"});
  CHECK(whole.code == 0);
  CHECK(whole.out.rfind("digraph", 0) == 0);
  const Folder folder;
  const std::string path = folder.path("cause.svg");
  const Ran svg = run_perrev({"rules", "draw", "--graph", "evidence", "--cause", "bent_rim_radial",
                              "--format", "svg", "--out", path});
  if (svg.code == 0) {
    CHECK(has(svg.out, "Written: "));
    CHECK(has(folder.read("cause.svg"), "<svg "));
    CHECK(has(folder.read("cause.svg"), "[bent_rim_radial]"));
  } else {
    CHECK(svg.code == 2);
    CHECK(has(svg.err, "built without Graphviz"));
    CHECK(!folder.has("cause.svg"));
  }
  const std::vector<std::vector<std::string>> wrong = {{"--cause", "bent_rim_radiel"},
                                                       {"--family", "no"},
                                                       {"--fact", "no"},
                                                       {"--check", "no"},
                                                       {"--near", "2"},
                                                       {"--graph", "circles"},
                                                       {"--cause", "a", "--fact", "b"}};
  for (const std::vector<std::string>& options : wrong) {
    std::vector<std::string> arguments = {"rules", "draw"};
    arguments.insert(arguments.end(), options.begin(), options.end());
    const Ran ran = run_perrev(arguments);
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(ran.out == "");
    CHECK(ran.err != "");
  }
}
