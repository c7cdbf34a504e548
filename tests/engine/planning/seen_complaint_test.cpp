// A complaint of one rule base seen by another: the same where they say the same, unsure where the
// world knows nothing, and what is done costs and cures what the world says.
#include "engine/planning/seen_complaint.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "engine/planning/strategies.h"
#include "engine/planning/trial_report.h"
#include "engine/providers/felt.h"
#include "engine/providers/orders.h"
#include "tests/engine/planning/cut_models.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

bool same(const TrialRun& a, const TrialRun& b) {
  return a.minutes == doctest::Approx(b.minutes).epsilon(1e-12) &&
         a.bound == doctest::Approx(b.bound).epsilon(1e-12) && a.solved == b.solved &&
         a.truth == b.truth && a.checks == b.checks && a.repairs == b.repairs && a.rank == b.rank &&
         a.top == b.top && a.top_is_true == b.top_is_true;
}

// A rule base with all that reasons about it.
struct World {
  explicit World(RuleBase made)
      : base(std::move(made)), reasoner(base, {&felt, &orders}), planner(reasoner) {}
  const RuleBase base;
  const FeltProvider felt;
  const OrdersProvider orders;
  const Reasoner reasoner;
  const Planner planner;
};

}  // namespace

TEST_CASE("a judge that says the same as the world goes the same way to the same end") {
  const Planner& world = shipped_planner();
  const World copy(world.reasoner().base());
  const auto strategy = entropy_per_minute();
  int solved = 0;
  for (std::uint64_t seed = 0; seed < 40; ++seed) {
    CAPTURE(seed);
    const TrialRun alone = run_trial(world, *strategy, seed);
    REQUIRE(same(run_trial(world, copy.planner, *strategy, seed), alone));
    solved += alone.solved ? 1 : 0;
  }
  CHECK(solved > 10);
}

TEST_CASE("minutes are those of the world, whatever the judge believes") {
  const Planner& shipped = shipped_planner();
  RuleBase slow = shipped.reasoner().base();
  for (Check& check : slow.checks) check.minutes *= 2.0;
  for (Setup& setup : slow.setups) setup.minutes *= 2.0;
  for (Repair& repair : slow.repairs) repair.minutes *= 2.0;
  const World world(slow);
  for (int check = 0; check < static_cast<int>(slow.checks.size()); ++check) {
    SeenComplaint of(world.planner, shipped, 1);
    const Check& done = slow.checks[static_cast<std::size_t>(check)];
    CHECK(of.minutes_of_check(check) == done.minutes);
    CHECK(of.minutes_from_nothing(check) == done.minutes + slow.setup_minutes(done.setup));
    CHECK(of.set_up_and_check(check) == done.minutes + slow.setup_minutes(done.setup));
    CHECK(of.set_up_and_check(check) == done.minutes);  // it stands ready
  }
  const SeenComplaint of(world.planner, shipped, 1);
  for (int r = 0; r < static_cast<int>(slow.repairs.size()); ++r)
    CHECK(of.minutes_of_repair(r) ==
          world.planner.minutes_of(slow.repairs[static_cast<std::size_t>(r)]));
}

TEST_CASE("what the world does not know is unsure, and all else is as it was drawn") {
  const Planner& shipped = shipped_planner();
  RuleBase less = shipped.reasoner().base();
  // The fact goes by another name there.
  const int gone = less.fact_index("onset");
  REQUIRE(gone >= 0);
  less.facts[static_cast<std::size_t>(gone)].id = "beginning";
  less.fact_by_id.erase("onset");
  less.fact_by_id["beginning"] = gone;
  const World world(less);
  const RuleBase& judge = shipped.reasoner().base();
  for (std::uint64_t seed = 0; seed < 10; ++seed) {
    CAPTURE(seed);
    SeenComplaint of(world.planner, shipped, seed);
    Complaint drawn(world.reasoner, seed);
    for (int check = 0; check < static_cast<int>(judge.checks.size()); ++check)
      if (judge.checks[static_cast<std::size_t>(check)].by == Asker::write_up) {
        const std::vector<int>& learns = judge.checks[static_cast<std::size_t>(check)].learns;
        const bool asks_it = std::find(learns.begin(), learns.end(), gone) != learns.end();
        of.learn(check);
        if (!asks_it) drawn.learn(check);
        if (asks_it)
          for (const int fact : learns)
            if (fact != gone) drawn.answer(fact, Asker::write_up);
      }
    const Reading* reading = of.facts().now().find(gone);
    REQUIRE(reading);
    CHECK(reading->unsure);
    CHECK(of.facts().now().answers == drawn.facts().now().answers);
  }
}

TEST_CASE("an answer that only the judge has is unknown, and the others are as they were drawn") {
  const Planner& shipped = shipped_planner();
  RuleBase less = shipped.reasoner().base();
  const int fact = less.fact_index("felt_at");
  REQUIRE(fact >= 0);
  Fact& asked = less.facts[static_cast<std::size_t>(fact)];
  REQUIRE(asked.kind == FactKind::several);
  asked.answers[0].id = "elsewhere";
  const World world(less);
  const std::vector<Check>& checks = shipped.reasoner().base().checks;
  const auto asks = std::find_if(checks.begin(), checks.end(), [&](const Check& check) {
    return std::find(check.learns.begin(), check.learns.end(), fact) != check.learns.end();
  });
  REQUIRE(asks != checks.end());
  for (std::uint64_t seed = 0; seed < 10; ++seed) {
    CAPTURE(seed);
    SeenComplaint of(world.planner, shipped, seed);
    of.learn(static_cast<int>(asks - checks.begin()));
    Complaint drawn(world.reasoner, seed);
    drawn.learn(static_cast<int>(asks - checks.begin()));
    const Reading *seen = of.facts().now().find(fact), *is = drawn.facts().now().find(fact);
    REQUIRE((seen && is));
    std::vector<int> expected = is->answers;
    expected[0] = -1;
    CHECK(seen->answers == expected);
    CHECK(!seen->unsure);
  }
}

TEST_CASE("what nobody can tell lifts no stop") {
  RuleBase base = shipped_planner().reasoner().base();
  const int stopped = base.fact_index("nuts_loose");
  REQUIRE(stopped >= 0);
  const int clearing = base.facts[static_cast<std::size_t>(stopped)].stop->cleared_by;
  base.facts[static_cast<std::size_t>(clearing)].clear = ~AnswerSet{0};
  const auto lifted_by = [&](int answer) {
    CaseFacts facts = nothing_known(base);
    facts.stops.push_back({stopped, 0, false});
    Reading made;
    made.fact = clearing;
    made.by = Asker::bay;
    made.answers = {answer};
    enter_reading(base, facts, made);
    return facts.stops[0].lifted;
  };
  CHECK(lifted_by(0));
  CHECK(!lifted_by(-1));
}

TEST_CASE("after a repair, an answer that the judge does not have is unsure") {
  RuleBase base = shipped_planner().reasoner().base();
  const int asked = base.fact_index("complaint_now");
  REQUIRE(asked >= 0);
  for (Answer& answer : base.facts[static_cast<std::size_t>(asked)].answers)
    if (answer.id == "less") answer.id = "better";
  for (const char* says : {"less", "same"}) {
    CAPTURE(says);
    CaseFacts facts = nothing_known(base);
    open_round(base, facts, {}, says);
    const Reading* now = facts.now().find(asked);
    REQUIRE(now);
    CHECK(now->unsure == (std::string(says) == "less"));
    CHECK(now->unsure == (now->answers[0] < 0));
  }
}

TEST_CASE("a number falls into the band of the judge in which it is") {
  const Planner& shipped = shipped_planner();
  RuleBase fine = shipped.reasoner().base();
  const int fact = fine.fact_index("worst_speed");
  REQUIRE(fact >= 0);
  const int first = fine.facts[static_cast<std::size_t>(fact)].first_variable;
  const std::vector<double> coarse = fine.variables[static_cast<std::size_t>(first)].edges;
  RuleBase judge = fine;
  Variable& merged = judge.variables[static_cast<std::size_t>(first)];
  REQUIRE(coarse.size() > 4);
  // The judge knows only every other threshold.
  merged.edges.clear();
  merged.base.clear();
  for (std::size_t i = 0; i < coarse.size(); i += 2) merged.edges.push_back(coarse[i]);
  if (merged.edges.back() != coarse.back()) merged.edges.push_back(coarse.back());
  merged.base.assign(merged.edges.size() - 1, 1.0 / static_cast<double>(merged.edges.size() - 1));
  for (Rule& rule : judge.rules)
    rule.when.each_test([&](Condition& leaf) {
      if (leaf.variable == first) leaf.answers = 1;
    });
  const World world(fine), judging(judge);
  int known = 0;
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    CAPTURE(seed);
    SeenComplaint of(world.planner, judging.planner, seed);
    Complaint drawn(world.reasoner, seed);
    for (int check = 0; check < static_cast<int>(judge.checks.size()); ++check) {
      const std::vector<int>& learns = judge.checks[static_cast<std::size_t>(check)].learns;
      if (std::find(learns.begin(), learns.end(), fact) == learns.end()) continue;
      of.learn(check);
      drawn.learn(check);
      break;
    }
    const Reading *seen = of.facts().now().find(fact), *is = drawn.facts().now().find(fact);
    REQUIRE((seen != nullptr) == (is != nullptr));
    if (!is || is->answers[0] < 0) continue;
    ++known;
    const std::size_t band = static_cast<std::size_t>(is->answers[0]);
    const std::size_t told = static_cast<std::size_t>(seen->answers[0]);
    CHECK(merged.edges[told] <= coarse[band]);
    CHECK(merged.edges[told + 1] >= coarse[band + 1]);
  }
  CHECK(known > 0);
}

TEST_CASE("paired means: known by hand, turned round, and nothing where nothing differs") {
  const auto run = [](double minutes, std::size_t rank, int cause) {
    TrialRun out;
    out.minutes = minutes;
    out.rank = rank;
    out.truth.first = cause;
    out.solved = rank == 1;
    return out;
  };
  const std::vector<TrialRun> before = {run(10, 1, 3), run(20, 2, 4), run(30, 0, -1)};
  const std::vector<TrialRun> after = {run(10, 1, 3), run(14, 1, 4), run(33, 0, -1)};
  const PairedReport report = paired_report(before, after);
  CHECK(report.complaints == 3);
  CHECK(report.alike == 1);
  CHECK(report.minutes.before == doctest::Approx(20.0));
  CHECK(report.minutes.change() == doctest::Approx(-1.0));
  // Differences 0, -6, 3: variance 21, over 3.
  CHECK(report.minutes.error == doctest::Approx(std::sqrt(7.0)));
  CHECK(report.minutes.may_be_chance());
  CHECK(report.first.before == doctest::Approx(0.5));  // of the two whose cause is listed
  CHECK(report.first.after == doctest::Approx(1.0));
  const PairedReport back = paired_report(after, before);
  CHECK(back.minutes.change() == doctest::Approx(1.0));
  CHECK(back.minutes.error == doctest::Approx(report.minutes.error));
  const PairedReport still = paired_report(before, before);
  CHECK(still.minutes.change() == 0.0);
  CHECK(still.minutes.error == 0.0);
  CHECK(still.alike == 3);
  const PairedMean sure{10.0, 8.0, 0.5};
  CHECK(!sure.may_be_chance());
}
