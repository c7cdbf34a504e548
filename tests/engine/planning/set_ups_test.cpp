// What stands ready: minutes of set-ups on a tree, worked by hand and by law.
#include "engine/planning/set_ups.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/engine/planning/exact_optimum.h"
#include "tests/engine/reasoning/lcg.h"

namespace perrev {
namespace {

// raised 4 - wheels_off 3 - hub_bare 2;  raised - gauge 5;  plates 7 - weighed 1;  tool 2 and
// bonnet 1 beside all.
enum : int { kNone = -1, kRaised, kWheelsOff, kHubBare, kGauge, kPlates, kWeighed, kTool, kBonnet };

std::vector<Setup> shop() {
  return {{"raised", "", 4, kNone, false},        {"wheels_off", "", 3, kRaised, false},
          {"hub_bare", "", 2, kWheelsOff, false}, {"gauge", "", 5, kRaised, false},
          {"plates", "", 7, kNone, false},        {"weighed", "", 1, kPlates, false},
          {"tool", "", 2, kNone, true},           {"bonnet", "", 1, kNone, true}};
}

Held held_after(const SetUps& set_ups, const std::vector<int>& way) {
  Held out;
  for (const int s : way) out = set_ups.with(out, s);
  return out;
}

TEST_CASE("minutes until a set-up stands ready, after others: worked by hand") {
  struct Row {
    std::vector<int> way;  // set-ups gone through
    int next;
    double minutes;
  };
  const Row rows[] = {
      {{}, kNone, 0},
      {{}, kRaised, 4},
      {{}, kWheelsOff, 7},  // 4 + 3
      {{}, kHubBare, 9},    // 4 + 3 + 2
      {{}, kGauge, 9},      // 4 + 5
      {{}, kWeighed, 8},    // 7 + 1
      {{}, kTool, 2},
      {{kRaised}, kHubBare, 5},   // 3 + 2
      {{kWheelsOff}, kGauge, 5},  // raised is shared
      {{kHubBare}, kRaised, 0},   // built on it
      {{kHubBare}, kWheelsOff, 0},
      {{kHubBare, kRaised}, kHubBare, 0},  // going back lost nothing
      {{kHubBare, kGauge}, kHubBare, 5},   // 3 + 2: another branch lost the wheels
      {{kHubBare, kGauge}, kRaised, 0},
      {{kHubBare, kPlates}, kRaised, 4},  // another tree lost all
      {{kGauge}, kPlates, 7},
      {{kWeighed}, kPlates, 0},
      {{kTool}, kTool, 0},
      {{kTool, kHubBare, kPlates}, kTool, 0},  // beside: it stays
      {{kHubBare, kTool}, kHubBare, 0},        // and takes nothing away
      {{kTool}, kBonnet, 1},                   // each beside for itself
      {{kHubBare, kTool, kBonnet, kGauge}, kWheelsOff, 3},
      {{kNone, kHubBare, kNone}, kHubBare, 0},  // needing nothing changes nothing
  };
  const SetUps set_ups(shop());
  const testing::Shop twin(shop());
  for (const Row& row : rows) {
    const Held held = held_after(set_ups, row.way);
    CAPTURE(&row - rows);
    CHECK(set_ups.minutes(held, row.next) == doctest::Approx(row.minutes));
    CHECK(twin.minutes(held, row.next) == doctest::Approx(row.minutes));
  }
}

// A forest of up to 9 set-ups, some of them beside.
std::vector<Setup> random_shop(testing::Lcg& random) {
  std::vector<Setup> out;
  const int count = random.between(1, 9);
  for (int s = 0; s < count; ++s) {
    Setup made{std::to_string(s), "", static_cast<double>(random.between(0, 12)), -1,
               random.chance(0.25)};
    const int after = random.between(-1, s - 1);
    if (!made.beside && after >= 0 && !out[static_cast<std::size_t>(after)].beside)
      made.after = after;
    out.push_back(made);
  }
  return out;
}

TEST_CASE("laws of set-ups, and the twin agrees, on random shops") {
  testing::Lcg random(31);
  for (int shop_number = 0; shop_number < 400; ++shop_number) {
    const std::vector<Setup> setups = random_shop(random);
    const SetUps set_ups(setups);
    const testing::Shop twin(setups);
    RuleBase base;
    base.setups = setups;
    const int count = static_cast<int>(setups.size());
    Held held;
    for (int step = 0; step < 12; ++step) {
      const int s = random.between(-1, count - 1);
      CAPTURE(shop_number);
      CAPTURE(s);
      const Held then = set_ups.with(held, s);
      CHECK(set_ups.minutes(held, s) == doctest::Approx(twin.minutes(held, s)));
      CHECK(then == twin.with(held, s));
      CHECK(base.setup_minutes(s) == doctest::Approx(twin.minutes({}, s)));
      CHECK(set_ups.with(then, s) == then);
      CHECK(set_ups.minutes(then, s) == 0.0);
      CHECK(set_ups.minutes(held, s) >= 0.0);
      // Whatever is held is never in the way.
      CHECK(set_ups.minutes(held, s) <= set_ups.minutes({}, s));
      // With a set-up go all that it is built on: they stand ready, and going back loses nothing.
      for (int below = s; below >= 0; below = setups[static_cast<std::size_t>(below)].after) {
        CHECK(set_ups.minutes(then, below) == 0.0);
        CHECK(set_ups.with(then, below) == then);
        CHECK(set_ups.minutes(held, below) <= set_ups.minutes(held, s));
      }
      // On the way to a set-up nothing is paid twice: in two goes it takes as long as in one.
      if (s >= 0) {
        const int below = setups[static_cast<std::size_t>(s)].after;
        CHECK(set_ups.minutes(held, below) + set_ups.minutes(set_ups.with(held, below), s) ==
              doctest::Approx(set_ups.minutes(held, s)));
      }
      held = then;
    }
  }
}

}  // namespace
}  // namespace perrev
