// Drives over a small rule base, worked by hand: what comes first, what is left for later, at which
// speeds.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "tests/engine/planning/road_world.h"
#include "tests/engine/reasoning/world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

const RuleBase& base() {
  static const RuleBase made = road_base();
  return made;
}
const Reasoner& reasoner() {
  static const Reasoner made(base());
  return made;
}

std::vector<Told> ready(std::vector<Told> told) {
  told.insert(told.begin(), {"loose", "no", ""});
  return told;
}

}  // namespace

TEST_CASE("a stop empties the plan, and a gate lists what it lacks") {
  const Drive stopped(reasoner(), road_case({{"loose", "yes", ""}}));
  CHECK(stopped.plan.stops == std::vector<int>{base().fact_index("loose")});
  CHECK(stopped.plan.manoeuvres.empty());
  CHECK(stopped.plan.longer.empty());
  CHECK(!stopped.plan.recording);

  const Drive waits(reasoner(), road_case({}));
  CHECK(waits.plan.stops.empty());
  REQUIRE(waits.plan.gates.size() == 1);
  CHECK(waits.plan.gates[0].missing == std::vector<int>{base().fact_index("loose")});
  // Only what stands still, what looks at it among that.
  CHECK(waits.checks() == std::vector<std::string>{"ask_loose", "feel_heat"});
  CHECK(waits.find("ask_loose")->need == RoadNeed::gate);
  CHECK(waits.find("feel_heat")->need == RoadNeed::none);

  const Drive goes(reasoner(), road_case(ready({})));
  CHECK(goes.plan.gates.empty());
  CHECK(goes.plan.manoeuvres.size() > 1);
}

TEST_CASE("what a driver does first, and what is a drive of its own") {
  const Drive drive(reasoner(), road_case(ready({})));
  // The complaint is brought back and its speed found before anything is held; the brakes come
  // last; the firm stop is not offered before the light one is done.
  const std::vector<std::string> checks = drive.checks();
  REQUIRE(checks.size() >= 4);
  CHECK(checks[0] == "bring_back");
  CHECK(checks[1] == "speed_up");
  CHECK(drive.find("speed_up")->need == RoadNeed::speed);
  CHECK(checks.back() == "brake");
  CHECK(drive.find("brake_hard") == nullptr);
  CHECK(drive.find("prove") == nullptr);  // nothing was repaired
  REQUIRE(drive.find("warm_up") != nullptr);
  CHECK(drive.plan.longer.size() == 1);
  // Two causes alike on the road and in the bay.
  const int one = drive.suspect("tire_once"), other = drive.suspect("tire_again");
  REQUIRE(one >= 0);
  REQUIRE(other >= 0);
  CHECK(std::any_of(drive.plan.left_open.begin(), drive.plan.left_open.end(),
                    [&](const RoadLeftOpen& pair) {
                      return pair.first == at(std::min(one, other)) &&
                             pair.second == at(std::max(one, other)) && pair.bay == -1;
                    }));
  // The dangerous one is looked at first, in the bay.
  REQUIRE(drive.plan.look_first.size() == 1);
  CHECK(drive.plan.look_first[0].suspect == at(drive.suspect("shaft_once")));
  CHECK(drive.plan.look_first[0].check == base().check_index("feel_joint"));

  const Drive braked(reasoner(), road_case(ready({{"light_brake", "yes", ""}})));
  CHECK(braked.find("brake") == nullptr);
  CHECK(braked.find("brake_hard") != nullptr);
  CHECK(braked.checks().back() == "brake_hard");
}

TEST_CASE("minutes are those of the manoeuvres, the set-up once") {
  const Drive drive(reasoner(), road_case(ready({})));
  double minutes = 10.0;
  for (const RoadManoeuvre& driven : drive.plan.manoeuvres) minutes += driven.minutes;
  CHECK(drive.plan.minutes == minutes);
}

TEST_CASE(
    "an answer points to the suspects that give it more often than those they are told from") {
  const Drive drive(reasoner(), road_case(ready({})));
  const RoadManoeuvre* brake = drive.find("brake");
  REQUIRE(brake != nullptr);
  REQUIRE(brake->watch.size() == 1);
  REQUIRE(brake->watch[0].answers.size() == 2);
  CHECK(brake->watch[0].tells);
  CHECK(brake->watch[0].answers[1].suspects ==
        std::vector<std::size_t>{at(drive.suspect("brake"))});
  CHECK(brake->watch[0].answers[0].suspects.size() == drive.plan.suspects.size() - 1);
}

TEST_CASE("after a repair the proof is driven, and nothing left is a suspect") {
  CaseFile file = road_case(ready({{"duplicated", "yes", ""}, {"worst_speed", "60 mph", ""}}));
  Entry repair = repaired("mend", 30);
  file.add(std::move(repair));
  Entry again = says("loose", "no", 40, Asker::road);
  file.add(std::move(again));
  const Drive drive(reasoner(), file);
  REQUIRE(!drive.plan.suspects.empty());
  CHECK(drive.plan.suspects[0].cause == base().nothing_left());
  REQUIRE(drive.find("prove") != nullptr);
  CHECK(drive.find("prove")->need == RoadNeed::proof);
}

TEST_CASE("speeds and engine speeds of the manoeuvres, for this vehicle") {
  const double mph = 0.44704, rpm = 1.0 / 60.0;
  // With a recorder that is broken and one manoeuvre less, the other one tells the engine.
  const auto without = [](const char* other) {
    CaseFile file = road_case(ready({{"gearbox", "manual", ""},
                                     {"powertrain", "engine", ""},
                                     {"worst_speed", "60 mph", ""},
                                     {"rpm_at_worst", "2400 rpm", ""}}));
    for (const char* check : {"record", other}) {
      Entry entry;
      entry.kind = Entry::Kind::not_possible;
      entry.at = minute(50);
      entry.by = Asker::road;
      entry.check = check;
      file.add(std::move(entry));
    }
    return Drive(reasoner(), file).plan.manoeuvres;
  };
  int found = 0;
  for (const RoadManoeuvre& driven : without("coast")) {
    if (driven.kind != RoadKind::lower_gear) continue;
    ++found;
    CHECK(*driven.from == doctest::Approx(60.0 * mph));
    CHECK(*driven.to == doctest::Approx(60.0 * mph));
    // 1.2 to 1.5 times 2400 rpm.
    CHECK(*driven.engine_low == doctest::Approx(2880.0 * rpm));
    CHECK(*driven.engine_high == doctest::Approx(3600.0 * rpm));
  }
  for (const RoadManoeuvre& driven : without("gear_down")) {
    if (driven.kind != RoadKind::coast) continue;
    ++found;
    CHECK(*driven.from == doctest::Approx(65.0 * mph));
    CHECK(*driven.to == doctest::Approx(50.0 * mph));
    // The gear goes back in at 50 mph: 2400 x 50 / 60.
    CHECK(*driven.engine_low == doctest::Approx(2000.0 * rpm));
    CHECK(*driven.engine_high == doctest::Approx(2000.0 * rpm));
  }
  CHECK(found == 2);
}
