#include "engine/bench/judge.h"

#include <cmath>

#include "engine/planning/plan.h"
#include "tests/engine/bench/bench_case.h"

using namespace perrev;
using namespace perrev::bench;

namespace {

const Planner& planner() {
  static const Reasoner reasoner(small_rules());
  static const Planner made(reasoner);
  return made;
}

std::vector<Miss> misses(const std::string& reference, const std::vector<std::string>& entries) {
  const CaseFile file = case_of(reference, entries);
  const auto expected = read_expectation(file, small_rules());
  if (!expected) FAIL(expected.error().front().text());
  const CaseFacts facts = facts_in(file);
  return judge(planner(), file, facts, rank(planner().reasoner(), facts), *expected);
}

// "key: expected | came [rules]", numbers left out.
std::string told(const std::vector<Miss>& of) {
  std::string out;
  for (const Miss& miss : of) {
    out += miss.key + ": " + miss.expected + " | " +
           (miss.came.find("0.") == 0 ? "more" : miss.came) + " [";
    for (const Decider& decider : miss.deciders)
      out += (out.back() == '[' ? "" : " ") + decider.name;
    out += "]\n";
  }
  return out;
}

// The wheels were off, the steering wheel shakes: the small base says wheel_imbalance.
const std::vector<std::string> kShakes = {answer("write_up", "began_after", R"("tires_fitted")"),
                                          answer("write_up", "felt_at", R"(["steering_wheel"])")};

}  // namespace

TEST_CASE("what comes is held against what was expected") {
  struct Row {
    std::string reference;  // without `about`
    std::string told;
  };
  const Row rows[] = {
      {R"("true": ["wheel_imbalance"])", ""},
      {R"("true": ["bent_rim"])",
       "rank: bent_rim at rank 1 | rank 3, below wheel_imbalance "
       "[after_new_tires felt_in_the_wheel]\n"},
      {R"("true": ["bent_rim"], "rank": 3)", ""},
      {R"("true": ["bent_rim", "wheel_imbalance"], "rank": 3)", ""},
      {R"("true": ["bent_rim", "wheel_imbalance"], "rank": 2)",
       "rank: bent_rim at rank 2 or above | rank 3, below worn_joint at once with "
       "wheel_imbalance []\n"},
      {R"("true": ["worn_joint"])",
       "rank: worn_joint at rank 1 | rank 2, below wheel_imbalance "
       "[after_new_tires felt_in_the_wheel]\n"},
      {R"("true": [], "not_above": {"wheel_imbalance": 0.99, "bent_rim": 0.5})", ""},
      {R"("true": [], "not_above": {"wheel_imbalance": 0.5})",
       "not_above: wheel_imbalance at most 0.5 | more [after_new_tires felt_in_the_wheel]\n"},
      {R"("true": [], "every_cause_at_most": 0.5)",
       "every_cause_at_most: wheel_imbalance at most 0.5 | more "
       "[after_new_tires felt_in_the_wheel]\n"},
      {R"("true": [], "not_listed_first": true)",
       "not_listed_first: what is not listed first | wheel_imbalance "
       "[after_new_tires felt_in_the_wheel]\n"},
      {R"("true": [], "nothing_left_first": true)",
       "nothing_left_first: nothing wrong any more first | wheel_imbalance "
       "[after_new_tires felt_in_the_wheel]\n"},
      {R"("true": [], "stops": ["nuts_loose"])", "stops: stopped by nuts_loose | no stop []\n"},
      {R"("true": [], "state": {"wheel_imbalance": "likely"})", ""},
      {R"("true": [], "state": {"wheel_imbalance": "confirmed"})",
       "state: wheel_imbalance confirmed | likely []\n"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.reference);
    CHECK(told(misses(R"({"about": "a", )" + row.reference + "}", kShakes)) == row.told);
  }
}

TEST_CASE("a stop that nobody expected is told") {
  CHECK(told(misses(R"({"about": "a", "true": [], "every_cause_at_most": 1})",
                    {answer("write_up", "nuts_loose", R"("yes")")})) ==
        "stops: no stop | stopped by nuts_loose []\n");
}

TEST_CASE("`next` holds for the check that the plan puts first, and for no other") {
  const CaseFile file = case_of("{}", kShakes);
  const CaseFacts facts = facts_in(file);
  const Ranking ranking = rank(planner().reasoner(), facts);
  const Plan plan = plan_of(planner(), facts, ranking, offers_of(small_rules(), facts),
                            held_now(planner(), file, facts));
  const int first = plan.next.front().check;
  for (std::size_t c = 0; c < small_rules().checks.size(); ++c) {
    const std::string id = small_rules().checks[c].id;
    CAPTURE(id);
    const auto missed = misses(R"({"about": "a", "true": [], "next": [")" + id + R"("]})", kShakes);
    CHECK(missed.empty() == (static_cast<int>(c) == first));
    if (!missed.empty()) CHECK(missed.front().expected == id + " next");
  }
}

TEST_CASE("deciders and what is usual add up to the odds between two causes") {
  const std::vector<std::vector<std::string>> cases = {
      kShakes,
      {answer("write_up", "began_after", R"("nothing")"), answer("bay", "driven_axle", R"("rear")"),
       answer("road", "hums", R"("yes")")},
      {answer("road", "worst_speed", R"("90 km/h")"), answer("road", "hums", R"("no")"),
       answer("bay", "wheel_type", R"("alloy")"),
       R"("by": "bay", "fact": "rim_runout", "place": "left_front", "value": "1.5 mm")"}};
  for (const auto& entries : cases) {
    const CaseFacts facts = facts_in(case_of("{}", entries));
    const Reasoner& reasoner = planner().reasoner();
    const std::vector<double> odds = log_odds(reasoner, facts);
    for (int high = 0; high < 3; ++high)
      for (int low = 0; low < 3; ++low) {
        if (std::isinf(odds[static_cast<std::size_t>(high)]) ||
            std::isinf(odds[static_cast<std::size_t>(low)]))
          continue;
        double sum = (reasoner.log_prior(high) - reasoner.log_prior(low)) * 10.0 / std::log(10.0);
        for (const Decider& d : deciders(reasoner, facts, high, low, 1000)) sum += d.decibans;
        for (const Decider& d : deciders(reasoner, facts, low, high, 1000)) sum -= d.decibans;
        CHECK(sum == doctest::Approx((odds[static_cast<std::size_t>(high)] -
                                      odds[static_cast<std::size_t>(low)]) *
                                     10.0 / std::log(10.0)));
      }
  }
}

TEST_CASE("what rules a cause out weighs without end, and has the facts for a name") {
  const CaseFacts facts = facts_in(case_of("{}", {answer("bay", "driven_axle", R"("front")")}));
  const auto found =
      deciders(planner().reasoner(), facts, 0, small_rules().cause_index("worn_joint"));
  REQUIRE(!found.empty());
  CHECK(found.front().name == "driven_axle");
  CHECK(found.front().rule == -1);
  CHECK(std::isinf(found.front().decibans));
}

TEST_CASE("a known gap may fail, and fails the run once it is closed") {
  Expectation expected;
  const std::vector<Miss> missed(1);
  CHECK(tested_case("a", expected, {}).standing == CaseStanding::passed);
  CHECK(tested_case("a", expected, missed).standing == CaseStanding::failed);
  expected.known_gap = "not yet";
  CHECK(tested_case("a", expected, missed).standing == CaseStanding::known_gap);
  CHECK(tested_case("a", expected, {}).standing == CaseStanding::gap_closed);
  CHECK(!fails(CaseStanding::passed));
  CHECK(!fails(CaseStanding::known_gap));
  for (const CaseStanding bad :
       {CaseStanding::failed, CaseStanding::gap_closed, CaseStanding::unreadable})
    CHECK(fails(bad));
}
