#include "engine/bench/expectation.h"

#include "tests/engine/bench/bench_case.h"

using namespace perrev;
using namespace perrev::bench;

TEST_CASE("a reference is read whole, names resolved") {
  const auto read = read_expectation(
      case_of(R"({"about": "so it is", "known_gap": "not yet", "true": ["bent_rim"], "rank": 2,
                  "not_above": {"worn_joint": 0.25}, "every_cause_at_most": 0.9,
                  "not_listed_first": false, "nothing_left_first": true, "stops": ["nuts_loose"],
                  "state": {"bent_rim": "likely"}, "next": "drive"})",
              {}),
      small_rules());
  REQUIRE(read.ok());
  const RuleBase& base = small_rules();
  CHECK(read->about == "so it is");
  CHECK(read->known_gap == "not yet");
  CHECK(read->truth == std::vector<int>{base.cause_index("bent_rim")});
  CHECK(read->rank == 2);
  REQUIRE(read->not_above.size() == 1);
  CHECK(read->not_above[0].first == base.cause_index("worn_joint"));
  CHECK(read->not_above[0].second == 0.25);
  CHECK(read->every_cause_at_most == 0.9);
  CHECK(!read->not_listed_first);
  CHECK(read->nothing_left_first);
  CHECK(read->stops == std::vector<int>{base.fact_index("nuts_loose")});
  REQUIRE(read->states.size() == 1);
  CHECK(read->states[0].second == CauseState::likely);
  CHECK(read->next == std::vector<int>{base.check_index("drive")});
}

TEST_CASE("what is not said has its usual value, and `next` may be a list") {
  const auto read = read_expectation(
      case_of(R"({"about": "a", "true": [], "next": ["drive", "shake_shaft"]})", {}),
      small_rules());
  REQUIRE(read.ok());
  CHECK(read->rank == 1);
  CHECK(read->stops.empty());
  CHECK(read->known_gap.empty());
  CHECK(!read->every_cause_at_most);
  CHECK(read->next.size() == 2);
}

TEST_CASE("what is wrong in a reference is told with its place") {
  struct Row {
    const char* reference;
    std::vector<std::string> problems;
  };
  const Row rows[] = {
      {R"([])", {"/reference: error: 'reference' is no object; "}},
      {R"({})", {"/reference/about: error: missing; ", "/reference/true: error: missing; "}},
      {R"({"about": "a", "true": []})", {"/reference: error: expects nothing; "}},
      {R"({"about": " ", "true": ["bent_rim"]})",
       {"/reference/about: error: is no text, or an empty one; ",
        "/reference/about: error: missing; "}},
      {R"({"about": "a", "true": ["bent_rimm"]})",
       {"/reference/true: error: unknown cause \"bent_rimm\"; did you mean \"bent_rim\"?"}},
      {R"({"about": "a", "true": ["bent_rim"], "not_abov": {}})",
       {"/reference/not_abov: error: unknown key \"not_abov\"; did you mean \"not_above\"?"}},
      {R"({"about": "a", "true": ["bent_rim"], "rank": 0})",
       {"/reference/rank: error: is no rank; "}},
      {R"({"about": "a", "true": "bent_rim", "rank": 1.5})",
       {"/reference/rank: error: is no rank; "}},
      {R"({"about": "a", "true": [7]})", {"/reference/true: error: is no list of causes; "}},
      {R"({"about": "a", "true": [], "not_above": {"bent/rim": 2}})",
       {"/reference/not_above/bent~1rim: error: unknown cause \"bent/rim\"; ",
        "/reference/not_above/bent~1rim: error: is no probability; "}},
      {R"({"about": "a", "true": [], "every_cause_at_most": "half"})",
       {"/reference/every_cause_at_most: error: is no probability; "}},
      {R"({"about": "a", "true": [], "not_listed_first": "yes"})",
       {"/reference/not_listed_first: error: is neither true nor false; "}},
      {R"({"about": "a", "true": [], "state": {"bent_rim": "sure"}})",
       {"/reference/state/bent_rim: error: is no state of a cause; "}},
      {R"({"about": "a", "true": [], "stops": ["hums", "tires"]})",
       {"/reference/stops: error: unknown fact \"tires\"; ",
        "/reference/stops: error: \"hums\" never stops; "}},
      {R"({"about": "a", "true": [], "next": ["drives"]})",
       {"/reference/next: error: unknown check \"drives\"; did you mean \"drive\"?"}},
      {R"({"about": "a", "true": ["bent_rim"], "known_gap": true})",
       {"/reference/known_gap: error: is no text, or an empty one; "}},
  };
  for (const Row& row : rows) {
    CAPTURE(row.reference);
    const auto read = read_expectation(case_of(row.reference, {}), small_rules());
    REQUIRE(!read.ok());
    const std::vector<std::string> lines = small::first_lines(read.error());
    CAPTURE(small::listed(lines));
    REQUIRE(lines.size() == row.problems.size());
    for (std::size_t i = 0; i < lines.size(); ++i)
      CHECK(lines[i].find(row.problems[i]) != std::string::npos);
  }
}

TEST_CASE("a case without a reference is none to test") {
  auto file = CaseFile::parse("case.json", R"({"perrev_case": 1, "entries": []})");
  REQUIRE(file.ok());
  const auto read = read_expectation(*file, small_rules());
  REQUIRE(!read.ok());
  CHECK(read.error().front().what == "no `reference`: this is no reference case");
}
