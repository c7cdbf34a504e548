// Reference cases that are proposed: for every cause they can be read, and reach their cause where
// rules speak for it alone.
#include "engine/bench/new_case.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "engine/bench/expectation.h"
#include "engine/bench/judge.h"
#include "src/answers/open_case.h"
#include "tests/src/shipped.h"

using namespace perrev;
using namespace perrev::test;

TEST_CASE("a case proposed for any cause opens, and says something that can fail") {
  const RuleBase& base = shipped_rules();
  int first = 0;
  for (std::size_t cause = 0; cause < base.causes.size(); ++cause) {
    const int index = static_cast<int>(cause);
    CAPTURE(base.causes[cause].id);
    const std::vector<SeenAnswer> seen = answers_of_cause(base, index);
    CHECK(!seen.empty());
    const std::string text = reference_case(base, index, seen, false);
    const auto open = read_case("case", text, base);
    if (!open) MESSAGE(open.error().front().text());
    REQUIRE(open.ok());
    CHECK(open->file.entries().size() == seen.size());
    const auto expected = read_expectation(open->file, base);
    REQUIRE(expected.ok());
    CHECK(expected->truth == std::vector<int>{index});
    std::vector<int> stops;
    for (const StopState& stop : open->facts.stops)
      if (!stop.lifted) stops.push_back(stop.fact);
    CHECK(expected->stops == stops);
    const Ranking ranking = rank(shipped_reasoning().reasoner, open->facts);
    if (judge(shipped_reasoning().planner, open->file, open->facts, ranking, *expected).empty())
      ++first;
  }
  MESSAGE("first by their proposed case: " << first << " of " << base.causes.size());
  CHECK(2 * first > static_cast<int>(base.causes.size()));
}

TEST_CASE("what makes a check's verdict shows its cause") {
  const RuleBase& base = shipped_rules();
  int shown = 0, all = 0;
  for (const Check& check : base.checks)
    for (const auto& [cause, condition] : check.confirms) {
      const std::vector<SeenAnswer> seen = answers_for(base, condition);
      const auto open = read_case("case", reference_case(base, cause, seen, true), base);
      CAPTURE(check.id);
      REQUIRE(open.ok());
      const std::vector<int>& verdicts = open->facts.verdicts;
      const bool is_shown = std::binary_search(verdicts.begin(), verdicts.end(), cause);
      const auto expected = read_expectation(open->file, base);
      REQUIRE(expected.ok());
      CHECK(expected->states.size() == (is_shown ? 1 : 0));
      shown += is_shown;
      ++all;
    }
  MESSAGE("shown: " << shown << " of " << all);
  CHECK(shown * 10 > all * 8);
}

TEST_CASE("what a vehicle showed is read as an entry would have it") {
  const RuleBase& base = shipped_rules();
  const auto several = read_seen(base, "heard: clunk, drone");
  REQUIRE(several.ok());
  CHECK(several->values == std::vector<std::string>{"clunk", "drone"});
  CHECK(read_seen(base, "worst_speed: 62 mph").ok());
  CHECK(read_seen(base, "complaint_words: it hums, and it shakes")->values.size() == 1);
  CHECK(read_seen(base, "herd: clunk").error().right == "did you mean 'heard'?");
  for (const char* wrong : {"heard", "heard:", "heard: clunks", "worst_speed: 62", "felt_at: ,"})
    CHECK(!read_seen(base, wrong).ok());
}
