// The reference cases against the shipped rule base: invented complaints whose true cause is
// recorded.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>
#include <vector>

#include "engine/reasoning/offers.h"
#include "src/reference_cases.h"
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
  ReferenceCase read;
  Ranking ranking;
  TestedCase tested;
};

std::vector<Reference> references() {
  std::vector<Reference> out;
  for (const std::string& path : case_paths()) {
    CAPTURE(path);
    auto read = read_reference(path, shipped_rules());
    if (!read)
      for (const Problem& p : read.error()) MESSAGE(p.text());
    REQUIRE(read.ok());
    const std::string name = std::filesystem::path(path).stem().string();
    Ranking ranking = rank(shipped_reasoning().reasoner, read->facts);
    TestedCase tested = tested_case(
        name, read->expected,
        judge(shipped_reasoning().planner, read->file, read->facts, ranking, read->expected));
    out.push_back({name, std::move(read).value(), std::move(ranking), std::move(tested)});
  }
  return out;
}

const std::vector<Reference>& all() {
  static const std::vector<Reference> cases = references();
  return cases;
}

int rank_of(const Reference& reference, int cause) {
  const auto& causes = reference.ranking.causes;
  const auto at =
      std::find_if(causes.begin(), causes.end(), [&](const Ranked& r) { return r.cause == cause; });
  return static_cast<int>(at - causes.begin()) + 1;
}

}  // namespace

TEST_CASE("there are at least 30 reference cases, over every family") {
  CHECK(all().size() >= 30);
  std::vector<bool> seen(shipped_rules().families.size(), false);
  for (const Reference& reference : all())
    for (const int cause : reference.read.expected.truth)
      seen[static_cast<std::size_t>(
          shipped_rules().causes[static_cast<std::size_t>(cause)].family)] = true;
  for (std::size_t f = 0; f < seen.size(); ++f) {
    CAPTURE(shipped_rules().families[f].id);
    CHECK(seen[f]);
  }
}

// Ranks, what must not be concluded, stops, states and next checks.
TEST_CASE("every case comes to what its reference says") {
  for (const Reference& reference : all()) {
    CAPTURE(reference.name);
    for (const Miss& miss : reference.tested.misses)
      MESSAGE(reference.name, " ", miss.key, ": expected ", miss.expected, "; came ", miss.came);
    CHECK(!fails(reference.tested.standing));
  }
}

TEST_CASE("the true cause is first in 90 % of the cases and among the first three in all") {
  double cases = 0.0, first = 0.0;
  for (const Reference& reference : all()) {
    const std::vector<int>& truth = reference.read.expected.truth;
    if (truth.empty()) continue;
    CAPTURE(reference.name);
    ++cases;
    bool leads = true;
    for (const int cause : truth) {
      leads = leads && rank_of(reference, cause) <= static_cast<int>(truth.size());
      CHECK(rank_of(reference, cause) <= 3);
    }
    first += leads ? 1.0 : 0.0;
  }
  MESSAGE("first in ", first, " of ", cases);
  CHECK(first >= 0.9 * cases);
}

TEST_CASE("a stop lets nothing move") {
  for (const Reference& reference : all()) {
    CAPTURE(reference.name);
    if (!reference.read.facts.stopped()) continue;
    for (const int check : offers_of(shipped_rules(), reference.read.facts).checks)
      CHECK(shipped_rules().checks[static_cast<std::size_t>(check)].moves == Moves::no);
  }
}

TEST_CASE("a case goes through the program unchanged, byte for byte") {
  for (const Reference& reference : all()) {
    CAPTURE(reference.name);
    CHECK(Json::parse(reference.read.file.text()) ==
          Json::parse(read_whole(project("cases/" + reference.name + ".json"))));
    auto again = CaseFile::parse("again", reference.read.file.text());
    REQUIRE(again.ok());
    CHECK(again->text() == reference.read.file.text());
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
