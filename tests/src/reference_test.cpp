// The reference cases against the shipped rule base: invented complaints whose true cause is
// recorded.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "engine/reasoning/offers.h"
#include "engine/reasoning/reasons.h"
#include "tests/src/run_perrev.h"
#include "tests/src/shipped.h"

using namespace perrev;
using perrev::test::case_paths;
using perrev::test::project;
using perrev::test::read_whole;
using perrev::test::shipped_reasoning;
using perrev::test::shipped_rules;
using Json = nlohmann::json;

namespace {

struct Reference {
  std::string name;
  CaseFile file;
  CaseFacts facts;
  Ranking ranking;
  Json expected;
};

std::vector<Reference> references() {
  std::vector<Reference> out;
  for (const std::string& path : case_paths()) {
    CAPTURE(path);
    auto file = CaseFile::parse(path, read_whole(path));
    REQUIRE(file.ok());
    auto facts = facts_of(*file, shipped_rules());
    if (!facts)
      for (const Problem& p : facts.error()) MESSAGE(p.text());
    REQUIRE(facts.ok());
    Ranking ranking = rank(shipped_reasoning().reasoner, *facts);
    Json expected = Json::parse(file->member("reference"));
    out.push_back({std::filesystem::path(path).stem().string(), std::move(file).value(),
                   std::move(facts).value(), std::move(ranking), std::move(expected)});
  }
  return out;
}

const std::vector<Reference>& all() {
  static const std::vector<Reference> cases = references();
  return cases;
}

int rank_of(const Reference& reference, const std::string& cause) {
  const int index = shipped_rules().cause_index(cause);
  REQUIRE(index >= 0);
  const auto& causes = reference.ranking.causes;
  const auto at =
      std::find_if(causes.begin(), causes.end(), [&](const Ranked& r) { return r.cause == index; });
  return static_cast<int>(at - causes.begin()) + 1;
}

}  // namespace

TEST_CASE("there are at least 30 reference cases, over every family, each asserting something") {
  CHECK(all().size() >= 30);
  std::vector<bool> seen(shipped_rules().families.size(), false);
  for (const Reference& reference : all()) {
    CAPTURE(reference.name);
    const Json& e = reference.expected;
    CHECK(!e.value("about", "").empty());
    CHECK((!e["true"].empty() || e.contains("every_cause_at_most") ||
           e.value("not_listed_first", false) || e.value("nothing_left_first", false) ||
           e.contains("not_above")));
    for (const std::string cause : e["true"])
      seen[static_cast<std::size_t>(
          shipped_rules()
              .causes[static_cast<std::size_t>(shipped_rules().cause_index(cause))]
              .family)] = true;
  }
  for (std::size_t f = 0; f < seen.size(); ++f) {
    CAPTURE(shipped_rules().families[f].id);
    CHECK(seen[f]);
  }
}

TEST_CASE("the true causes reach the rank that the case demands") {
  for (const Reference& reference : all())
    for (const std::string cause : reference.expected["true"]) {
      CAPTURE(reference.name);
      CAPTURE(cause);
      CHECK(rank_of(reference, cause) <= reference.expected.value("rank", 1));
    }
}

TEST_CASE("the true cause is first in 90 % of the cases and among the first three in all") {
  double cases = 0.0, first = 0.0;
  for (const Reference& reference : all()) {
    const Json& truth = reference.expected["true"];
    if (truth.empty()) continue;
    CAPTURE(reference.name);
    ++cases;
    bool leads = true;
    for (const std::string cause : truth) {
      leads = leads && rank_of(reference, cause) <= static_cast<int>(truth.size());
      CHECK(rank_of(reference, cause) <= 3);
    }
    first += leads ? 1.0 : 0.0;
  }
  MESSAGE("first in ", first, " of ", cases);
  CHECK(first >= 0.9 * cases);
}

TEST_CASE("what must not be concluded is not") {
  for (const Reference& reference : all()) {
    CAPTURE(reference.name);
    const Json& e = reference.expected;
    const Json limits = e.value("not_above", Json::object());
    for (const auto& limit : limits.items()) {
      const std::string cause = limit.key();
      CAPTURE(cause);
      REQUIRE(shipped_rules().cause_index(cause) >= 0);
      CHECK(reference.ranking.of(shipped_rules().cause_index(cause)).probability <=
            limit.value().get<double>());
    }
    if (e.contains("every_cause_at_most"))
      for (const Ranked& ranked : reference.ranking.causes)
        CHECK(ranked.probability <= e["every_cause_at_most"].get<double>());
    const double best = reference.ranking.causes.front().probability;
    if (e.value("not_listed_first", false)) CHECK(reference.ranking.not_listed > best);
    if (e.value("nothing_left_first", false)) CHECK(reference.ranking.nothing_left > best);
  }
}

TEST_CASE("stops and states are those expected, and a stop lets nothing move") {
  for (const Reference& reference : all()) {
    CAPTURE(reference.name);
    std::vector<std::string> stops;
    for (const StopState& stop : reference.facts.stops)
      if (!stop.lifted)
        stops.push_back(shipped_rules().facts[static_cast<std::size_t>(stop.fact)].id);
    auto expected = reference.expected.value("stops", std::vector<std::string>{});
    std::sort(stops.begin(), stops.end());
    std::sort(expected.begin(), expected.end());
    CHECK(stops == expected);
    if (!stops.empty())
      for (const int check : offers_of(shipped_rules(), reference.facts).checks)
        CHECK(shipped_rules().checks[static_cast<std::size_t>(check)].moves == Moves::no);
    const Json states = reference.expected.value("state", Json::object());
    for (const auto& state : states.items()) {
      const int cause = shipped_rules().cause_index(state.key());
      REQUIRE(cause >= 0);
      CHECK(name_of(state_of(shipped_rules(), reference.facts, reference.ranking.of(cause))) ==
            state.value().get<std::string>());
    }
  }
}

TEST_CASE("a case goes through the program unchanged, byte for byte") {
  for (const Reference& reference : all()) {
    CAPTURE(reference.name);
    CHECK(Json::parse(reference.file.text()) ==
          Json::parse(read_whole(project("cases/" + reference.name + ".json"))));
    auto again = CaseFile::parse("again", reference.file.text());
    REQUIRE(again.ok());
    CHECK(again->text() == reference.file.text());
  }
}

TEST_CASE("the shipped rule base is as large as it is said to be") {
  CHECK(shipped_rules().causes.size() > 80);
  CHECK(shipped_rules().facts.size() > 110);
  CHECK(shipped_rules().checks.size() > 70);
  CHECK(shipped_rules().rules.size() > 300);
  for (const Rule& rule : shipped_rules().rules) {
    CHECK(!rule.because.empty());
    CHECK(!rule.origin.empty());
  }
}

TEST_CASE("every cause can be repaired and every fact that can be asked is learned by a check") {
  std::vector<bool> learned(shipped_rules().facts.size(), false);
  for (const Check& check : shipped_rules().checks)
    for (const int fact : check.learns) learned[static_cast<std::size_t>(fact)] = true;
  for (std::size_t f = 0; f < learned.size(); ++f) {
    CAPTURE(shipped_rules().facts[f].id);
    CHECK(learned[f]);
  }
  for (const Cause& cause : shipped_rules().causes) {
    CAPTURE(cause.id);
    CHECK(cause.repair >= 0);
    CHECK(!cause.proof.empty());
  }
}
