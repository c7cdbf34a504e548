// Trials on the shipped rules: repeatable, never cheaper than knowing the fault, and the ranking
// they act on calibrated.
#include "engine/planning/trial.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

#include "engine/planning/complaint.h"
#include "engine/planning/strategies.h"
#include "tests/engine/planning/cut_models.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::vector<std::unique_ptr<Strategy>> strategies() {
  std::vector<std::unique_ptr<Strategy>> out;
  out.push_back(looking_ahead());
  out.push_back(entropy_per_minute());
  out.push_back(path_order());
  out.push_back(at_random());
  return out;
}

bool same(const TrialRun& a, const TrialRun& b) {
  return a.minutes == b.minutes && a.bound == b.bound && a.solved == b.solved &&
         a.truth == b.truth && a.checks == b.checks && a.repairs == b.repairs && a.rank == b.rank &&
         a.top == b.top && a.top_is_true == b.top_is_true;
}

}  // namespace

TEST_CASE("a trial never takes less than the bound, and a seed brings the same fault to all") {
  const Planner& planner = shipped_planner();
  const auto all = strategies();
  int solved = 0, not_listed = 0, pairs = 0;
  for (std::uint64_t seed = 0; seed < 30; ++seed) {
    CAPTURE(seed);
    Hypothesis truth;
    for (std::size_t s = 0; s < all.size(); ++s) {
      CAPTURE(all[s]->name());
      const TrialRun run = run_trial(planner, *all[s], seed);
      if (s == 0) truth = run.truth;
      REQUIRE(run.truth == truth);
      REQUIRE(run.minutes >= run.bound - 1e-9);
      REQUIRE(run.bound > 0.0);
      REQUIRE(run.top >= 0.0);
      REQUIRE(run.top <= 1.0 + 1e-12);
      // What is not listed is no cause: it has no rank and is never put right.
      REQUIRE((run.rank == 0) == (run.truth.first < 0));
      REQUIRE(run.top_is_true == (run.rank == 1));
      if (run.truth.first < 0) REQUIRE(!run.solved);
      if (run.solved) REQUIRE(run.repairs > 0);
      solved += run.solved;
      not_listed += run.truth.first < 0;
      pairs += run.truth.second >= 0;
    }
  }
  MESSAGE("of 120 trials " << solved << " solved, " << not_listed << " not listed, " << pairs
                           << " of two faults");
  CHECK(solved > 60);
}

TEST_CASE("two who ask in different orders meet the same vehicle, where answers are not tied") {
  const Reasoner& reasoner = shipped_planner().reasoner();
  const RuleBase& base = shipped_rules();
  const int checks = static_cast<int>(base.checks.size());
  int compared = 0;
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    CAPTURE(seed);
    Complaint forward(reasoner, seed), backward(reasoner, seed);
    if (forward.truth().first < 0 || forward.truth().second >= 0) continue;
    for (int c = 0; c < checks; ++c) {
      forward.learn(c);
      backward.learn(checks - 1 - c);
    }
    const std::size_t cause = static_cast<std::size_t>(forward.truth().first);
    for (std::size_t v = 0; v < base.variables.size(); ++v) {
      const std::size_t slot = static_cast<std::size_t>(base.variables[v].first_slot);
      const int one = forward.facts().now().answers[slot],
                other = backward.facts().now().answers[slot];
      if (base.variables[v].slots > 1 || one < 0 || other < 0 ||
          reasoner.answers().tied(static_cast<int>(v))[cause] ||
          reasoner.owner_of(base.variables[v].fact))  // computed facts are tied together
        continue;
      REQUIRE(one == other);
      ++compared;
    }
  }
  CHECK(compared > 5000);
}

TEST_CASE("the same seed gives the same trial, also with answers that are wrong") {
  const Planner& planner = shipped_planner();
  const auto all = strategies();
  for (std::uint64_t seed = 100; seed < 102; ++seed)
    for (const auto& strategy : all)
      for (const double corrupted : {0.0, 0.1}) {
        CAPTURE(seed);
        CAPTURE(strategy->name());
        const TrialRun run = run_trial(planner, *strategy, seed, corrupted);
        REQUIRE(same(run, run_trial(planner, *strategy, seed, corrupted)));
        REQUIRE(run.minutes >= run.bound - 1e-9);
      }
}

// If every p is right, what is seen in a bin is off from what is expected by about
// sqrt(sum of p (1 - p)), by sqrt(2 / pi) of it on average.
TEST_CASE("what stands first before the first repair is there as often as it is said to be") {
#if defined(PERREV_PLAIN_LOOPS)  // sanitizers look at memory, not at means
  constexpr int kRuns = 60;
#else
  constexpr int kRuns = 400;
#endif
  const Planner& planner = shipped_planner();
  const auto strategy = entropy_per_minute();
  struct Bin {
    double expected = 0.0, seen = 0.0, variance = 0.0;
    int count = 0;
  };
  std::array<Bin, 10> bins;
  Bin all;
  for (std::uint64_t seed = 0; seed < kRuns; ++seed) {
    const TrialRun run = run_trial(planner, *strategy, seed + 1000);
    const double p = std::min(run.top, 1.0);
    for (Bin* bin : {&bins[std::min<std::size_t>(9, static_cast<std::size_t>(10.0 * p))], &all}) {
      bin->expected += p;
      bin->variance += p * (1.0 - p);
      bin->seen += run.top_is_true ? 1.0 : 0.0;
      ++bin->count;
    }
  }
  double error = 0.0, by_chance = 0.0, variance = 0.0;
  for (std::size_t b = 0; b < bins.size(); ++b) {
    const Bin& bin = bins[b];
    CAPTURE(b);
    CAPTURE(bin.count);
    CAPTURE(bin.expected);
    CAPTURE(bin.seen);
    // So few that the normal law says nothing of them count only in the sum.
    if (bin.variance >= 1.0)
      CHECK(std::abs(bin.seen - bin.expected) <= 3.0 * std::sqrt(bin.variance));
    error += std::abs(bin.seen - bin.expected) / kRuns;
    by_chance += std::sqrt(2.0 / std::numbers::pi * bin.variance) / kRuns;
    variance += (1.0 - 2.0 / std::numbers::pi) * bin.variance / kRuns / kRuns;
  }
  const double bound = by_chance + 3.0 * std::sqrt(variance);
  MESSAGE("expected calibration error " << error << ", by chance " << by_chance << ", at most "
                                        << bound << "; said " << all.expected / kRuns << ", seen "
                                        << all.seen / kRuns);
  CHECK(error <= bound);
  CHECK(std::abs(all.seen - all.expected) <= 3.0 * std::sqrt(all.variance));
}
