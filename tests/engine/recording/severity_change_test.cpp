// Before and after a repair: what is compared, and that the interval holds what it says.
#include "engine/recording/severity_change.h"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "engine/random.h"

using namespace perrev;
using Speeds = SeverityChange::Speeds;

namespace {

struct Leg {
  double speed, level;  // m/s, m/s2
  int seconds;
};

Severity drive(const std::vector<Leg>& legs) {
  Severity out;
  out.running_step = 1.0;
  for (const Leg& leg : legs)
    for (int i = 0; i < leg.seconds; ++i) {
      out.running.push_back(leg.level);
      out.running_speed.push_back(leg.speed);
    }
  out.seconds = static_cast<double>(out.running.size());
  return out;
}

// Squares that scatter by a third and follow their neighbours, as road does: about 0.4 of each
// goes on into the next.
Severity rough_drive(double level, int seconds, std::uint64_t seed) {
  Random random(seed);
  Severity out;
  out.running_step = 1.0;
  double state = random.normal();
  for (int i = 0; i < seconds; ++i) {
    state = 0.4 * state + std::sqrt(1.0 - 0.16) * random.normal();
    out.running.push_back(level * std::exp(0.5 * 0.33 * state));
    out.running_speed.push_back(25.0 + 3.0 * std::sin(0.1 * i));
  }
  out.seconds = seconds;
  return out;
}

}  // namespace

TEST_CASE("levels are compared at the speeds that both drove") {
  // It shakes at 30 m/s; the second drive is mostly in town. By hand: 20 s in common at each.
  const Severity before = drive({{15.0, 0.1, 40}, {31.0, 0.5, 40}});
  const Severity after = drive({{15.0, 0.1, 100}, {31.0, 0.2, 40}, {9.0, 0.05, 10}});
  const auto found = change_between(before, after);
  REQUIRE(found);
  CHECK(found->speeds == Speeds::alike);
  CHECK(found->shared == doctest::Approx(140.0 / 150.0));
  CHECK(found->before == doctest::Approx(std::sqrt((0.01 + 0.25) / 2.0)));
  CHECK(found->after == doctest::Approx(std::sqrt((0.01 + 0.04) / 2.0)));
  CHECK(found->factor == doctest::Approx(std::sqrt(0.05 / 0.26)));
  CHECK(found->decibels == doctest::Approx(10.0 * std::log10(0.05 / 0.26)));
  CHECK(found->before_speed == doctest::Approx(23.0));
  CHECK(found->other_words);  // 0.36 is a little uncomfortable, 0.16 is not
}

TEST_CASE("speeds that differ are told") {
  const Severity slow = drive({{15.0, 0.1, 60}}), fast = drive({{31.0, 0.5, 60}});
  const auto apart = change_between(fast, slow);
  REQUIRE(apart);
  CHECK(apart->speeds == Speeds::apart);
  CHECK(apart->shared == 0.0);
  CHECK(!apart->factor_range);
  const auto partly = change_between(drive({{15.0, 0.1, 60}, {31.0, 0.5, 60}}), slow);
  REQUIRE(partly);
  CHECK(partly->speeds == Speeds::partly);
  CHECK(partly->shared == doctest::Approx(0.5));
  CHECK(partly->factor == doctest::Approx(1.0));
  Severity unknown = slow;
  unknown.running_speed.clear();
  const auto whole = change_between(fast, unknown);
  REQUIRE(whole);
  CHECK(whole->speeds == Speeds::unknown);
  CHECK(whole->factor == doctest::Approx(0.2));
  CHECK(whole->factor_range);
}

TEST_CASE("nothing to compare, nothing said") {
  const Severity some = drive({{20.0, 0.3, 60}});
  CHECK(!change_between(some, Severity{}));
  CHECK(!change_between(Severity{}, some));
  CHECK(!change_between(some, drive({{20.0, 0.0, 60}})));
  const auto brief = change_between(some, drive({{20.0, 0.3, 6}}));
  REQUIRE(brief);
  CHECK(!brief->factor_range);  // one piece
}

TEST_CASE("the interval of the factor holds the true one in 95 of 100 comparisons") {
  for (const int seconds : {60, 300}) {
    CAPTURE(seconds);
    int held = 0;
    const int trials = 2000;
    for (int i = 0; i < trials; ++i) {
      const auto seed = static_cast<std::uint64_t>(2 * i);
      const auto found = change_between(rough_drive(0.5, seconds, seed),
                                        rough_drive(0.2, seconds / 2 + 30, seed + 1));
      REQUIRE(found);
      REQUIRE(found->factor_range);
      held += found->factor_range->low <= 0.4 && 0.4 <= found->factor_range->high ? 1 : 0;
    }
    const double share = static_cast<double>(held) / trials;
    MESSAGE("held in ", share);
    CHECK(share > 0.93);
    CHECK(share < 0.98);
  }
}
