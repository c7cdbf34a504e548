// Where the suspects' frequencies lie, and at which speed and in which gear they are recorded.
#include "engine/planning/road_recording.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "engine/providers/orders.h"
#include "tests/engine/planning/road_world.h"
#include "tests/engine/reasoning/lcg.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// With a cause on the third order of the tires, beside those of the base.
const RuleBase& base() {
  static const RuleBase made = road_base(
      "hop: {name: Hop, family: wheels, usual: 10, repair: mend, proof: Drive, shown_by: bay, "
      "shakes: [{source: tire, order: 3}]}\n"
      "firing: {name: Firing, family: engines, usual: 10, repair: mend, proof: Drive, shown_by: "
      "bay, "
      "shakes: [{source: engine, order: firing}]}\n",
      "- {rule: hop_stays, when: {firm_brake: yes}, for: {hop: some}, because: B., origin: "
      "invented}\n");
  return made;
}
const Reasoner& reasoner() {
  static const Reasoner made(base());
  return made;
}

std::vector<int> causes(const std::vector<std::string>& ids) {
  std::vector<int> out;
  for (const std::string& id : ids) {
    out.push_back(base().cause_index(id));
    REQUIRE(out.back() >= 0);
  }
  return out;
}

struct Recorded {
  Recorded(const std::vector<Told>& told, const std::vector<std::string>& suspects,
           Units units = Units::us)
      : facts(read(told)),
        speeds(road_speeds(base(), facts, units)),
        plan(plan_recording(base(), facts, causes(suspects), speeds)) {}
  static CaseFacts read(const std::vector<Told>& told) {
    auto facts = facts_of(road_case(told), base());
    if (!facts) throw std::runtime_error(facts.error().front().text());
    return std::move(facts).value();
  }

  CaseFacts facts;
  RoadSpeeds speeds;
  RoadRecording plan;

  std::size_t line(const std::string& about) const {
    for (std::size_t l = 0; l < plan.lines.size(); ++l)
      if (plan.lines[l].about == about) return l;
    FAIL("no line " << about);
    return 0;
  }
  double hz(const std::string& about, std::size_t setting = 0) const {
    const std::vector<Estimate>& lies = plan.settings[setting].lines[line(about)];
    REQUIRE(lies.size() == 1);
    return lies.front().mean;
  }
  const LinePair& pair(const std::string& one, const std::string& other) const {
    const std::size_t a = line(one), b = line(other);
    for (const LinePair& p : plan.pairs)
      if (p.first == std::min(a, b) && p.second == std::max(a, b)) return p;
    FAIL("no pair " << one << ", " << other);
    return plan.pairs.front();
  }
};

// A rear-driven car on 225/60R16: 16 x 25.4 + 2 x 225 x 0.60 = 676.4 mm, rolling 3.05 times that.
constexpr double kCircumference = 3.05 * 0.6764;
constexpr double kMph = 0.44704;

std::vector<Told> car(std::vector<Told> more = {}) {
  std::vector<Told> out = {{"tire_size", "225/60R16", ""},
                           {"driven_axle", "rear", ""},
                           {"powertrain", "engine", ""},
                           {"gearbox", "manual", ""},
                           {"cylinders", "four", ""}};
  out.insert(out.end(), more.begin(), more.end());
  return out;
}

}  // namespace

TEST_CASE("frequencies are speed over circumference, and rpm / 60 times the order") {
  struct Row {
    std::vector<Told> more;
    double mph;  // that the wheels turn at
    double axle, rpm;
  };
  const std::vector<Row> rows = {
      // 1609.344 m / 2.06302 m = 780.09 turns a mile; x 60 mph / 3600 s = 13.0 Hz.
      {{{"worst_speed", "60 mph", "gps"},
        {"axle_ratio", "3.50", ""},
        {"rpm_at_worst", "2000 rpm", ""}},
       60.0,
       3.50,
       2000.0},
      // By the speedometer, which reads 2.5 % high: 60 on the dash are 58.54.
      {{{"worst_speed", "60 mph", "speedometer"},
        {"axle_ratio", "3.50", ""},
        {"rpm_at_worst", "2000 rpm", ""}},
       60.0 / 1.025,
       3.50,
       2000.0},
      {{{"worst_speed", "45 mph", "gps"},
        {"axle_ratio", "4.10", ""},
        {"rpm_at_worst", "1500 rpm", ""}},
       45.0,
       4.10,
       1500.0},
  };
  for (const Row& row : rows) {
    const Recorded recorded(car(row.more), {"tire_once", "shaft_once", "firing", "engine_once"});
    const double felt = recorded.plan.settings[0].speed / recorded.speeds.felt;
    const double turns_a_mile = 1609.344 / kCircumference;
    const double tire = turns_a_mile * row.mph * felt / 3600.0;
    CHECK(recorded.hz("tire order 1") == doctest::Approx(tire).epsilon(1e-9));
    CHECK(tire == doctest::Approx(row.mph * felt * kMph / kCircumference).epsilon(1e-9));
    CHECK(recorded.hz("driveshaft order 1") == doctest::Approx(tire * row.axle).epsilon(1e-9));
    // 2000 rpm / 60 = 33.33 turns a second; the firing order of four cylinders is 2.
    CHECK(recorded.hz("engine order 1") == doctest::Approx(row.rpm * felt / 60.0).epsilon(1e-9));
    CHECK(recorded.hz("engine firing order (2)") ==
          doctest::Approx(2.0 * row.rpm * felt / 60.0).epsilon(1e-9));
  }
}

TEST_CASE("the engine's line follows axle and gear ratio where both are known") {
  const Recorded recorded(car({{"worst_speed", "60 mph", "gps"},
                               {"axle_ratio", "3.50", ""},
                               {"gear_ratio", "0.80", ""}}),
                          {"tire_once", "engine_once"});
  const double tire = 60.0 * kMph / kCircumference;
  // 13.0 Hz x 3.50 x 0.80 = 36.4 Hz, 2184 rpm.
  CHECK(recorded.hz("engine order 1") == doctest::Approx(tire * 3.5 * 0.8).epsilon(1e-9));
  REQUIRE(recorded.plan.settings[0].engine.has_value());
  CHECK(60.0 * recorded.plan.settings[0].engine->mean ==
        doctest::Approx(60.0 * tire * 2.8).epsilon(1e-9));
}

TEST_CASE("the same line is no pair, and what cannot be computed is to be looked up") {
  const Recorded same(car({{"worst_speed", "60 mph", "gps"}}), {"tire_once", "tire_again"});
  CHECK(same.plan.pairs.empty());
  CHECK(same.plan.look_up.empty());
  CHECK(same.plan.settings.size() == 1);

  const auto ids = [](const std::vector<int>& facts) {
    std::vector<std::string> out;
    for (const int fact : facts) out.push_back(base().facts[at(fact)].id);
    return out;
  };
  using Words = std::vector<std::string>;
  CHECK(ids(Recorded(car({{"worst_speed", "60 mph", "gps"}}), {"tire_once", "shaft_once"})
                .plan.look_up) == Words{"axle_ratio"});
  CHECK(ids(Recorded(car({{"worst_speed", "60 mph", "gps"}}), {"tire_once", "firing"})
                .plan.look_up) == Words{"rpm_at_worst", "axle_ratio", "gear_ratio"});
  CHECK(ids(Recorded({{"worst_speed", "60 mph", "gps"}, {"rpm_at_worst", "2000 rpm", ""}},
                     {"tire_once", "shaft_once", "firing"})
                .plan.look_up) == Words{"tire_size", "driven_axle", "axle_ratio", "cylinders"});
}

// Direct gear: engine and driveshaft turn as one at every speed; a lower gear moves the engine.
TEST_CASE("one gear lower moves the engine's line and leaves the shaft's") {
  const Recorded recorded(car({{"worst_speed", "60 mph", "gps"},
                               {"axle_ratio", "3.00", ""},
                               {"gear_ratio", "1.00", ""}}),
                          {"shaft_once", "engine_once"});
  const LinePair& pair = recorded.pair("driveshaft order 1", "engine order 1");
  CHECK(!pair.ambiguous());
  CHECK(pair.at_first.separation < kLinesClear);
  CHECK(pair.at_first.hz == doctest::Approx(0.0).scale(1.0));
  REQUIRE(recorded.plan.settings.size() == 2);
  CHECK(recorded.plan.settings[0].gear == RoadGear::as_felt);
  CHECK(recorded.plan.settings[1].gear == RoadGear::one_lower);
  CHECK(pair.setting == 1);
  CHECK(recorded.hz("driveshaft order 1", 1) ==
        doctest::Approx(recorded.plan.settings[1].speed * 3.0 / kCircumference).epsilon(1e-9));
  CHECK(recorded.hz("engine order 1", 1) ==
        doctest::Approx(1.35 * recorded.hz("driveshaft order 1", 1)).epsilon(1e-9));
  // A gearbox without steps has no lower gear, and then nothing parts them.
  std::vector<Told> stepless = car({{"worst_speed", "60 mph", "gps"},
                                    {"axle_ratio", "3.00", ""},
                                    {"rpm_at_worst", "2340 rpm", ""}});
  stepless[3].value = "belt";
  const Recorded belt(stepless, {"shaft_once", "engine_once"});
  CHECK(belt.pair("driveshaft order 1", "engine order 1").ambiguous());
  CHECK(belt.plan.settings.size() == 1);
}

// Axle ratio 3.08 and the third order of the tires: 3 % apart at any speed, in any gear.
TEST_CASE("what turns together at every speed is told as ambiguous, with what tells instead") {
  std::vector<Told> told = car({{"worst_speed", "60 mph", "gps"}, {"axle_ratio", "3.08", ""}});
  const Recorded recorded(told, {"hop", "shaft_once"});
  const LinePair& pair = recorded.pair("tire order 3", "driveshaft order 1");
  CHECK(pair.ambiguous());
  CHECK(pair.apart.hz == doctest::Approx(0.08 * 60.0 * kMph / kCircumference).epsilon(1e-9));

  told.insert(told.begin(), {"loose", "no", ""});
  const Drive drive(reasoner(), road_case(told));
  REQUIRE(drive.plan.recording.has_value());
  REQUIRE(drive.plan.ambiguous.size() == 1);
  const LinePair* same = drive.pair("tire order 3", "driveshaft order 1");
  REQUIRE(same != nullptr);
  CHECK(&drive.plan.recording->pairs[drive.plan.ambiguous[0].pair] == same);
  // The shaft is told from the wheels by feeling its joint.
  CHECK(drive.plan.ambiguous[0].instead == base().check_index("feel_joint"));
}

TEST_CASE(
    "over random vehicles: ambiguous is told exactly where no speed and no gear parts two lines") {
  Lcg random(77);
  const std::vector<std::string> sizes = {"225/60R16", "185/65R15", "265/70R17", "245/40R19"};
  const std::vector<std::string> boxes = {"manual", "automatic", "belt"};
  const std::vector<std::string> suspects = {"tire_once",  "hop",         "brake",
                                             "shaft_once", "engine_once", "firing"};
  int ambiguous = 0, second = 0;
  for (int i = 0; i < 300; ++i) {
    CAPTURE(i);
    const double axle = 2.5 + 0.01 * random.between(0, 200),
                 gear = 0.6 + 0.01 * random.between(0, 80);
    std::vector<Told> told = {{"tire_size", random.pick(sizes), ""},
                              {"driven_axle", "rear", ""},
                              {"powertrain", "engine", ""},
                              {"gearbox", random.pick(boxes), ""},
                              {"cylinders", random.chance(0.5) ? "four" : "eight", ""},
                              {"axle_ratio", show_number(axle), ""}};
    told.push_back({"worst_speed", std::to_string(random.between(25, 90)) + " mph",
                    random.chance(0.5) ? "gps" : "speedometer"});
    if (random.chance(0.5))
      told.push_back({"gear_ratio", show_number(gear), ""});
    else
      told.push_back({"rpm_at_worst", std::to_string(random.between(12, 40) * 100) + " rpm", ""});
    const Recorded recorded(told, suspects);
    const VehicleFacts vehicle = vehicle_of(base(), recorded.facts, 0);
    const auto tried = recording_settings(vehicle, motion_of(base(), recorded.facts, 0),
                                          recorded.plan.lines, recorded.speeds);
    REQUIRE(recorded.plan.settings[0].gear == RoadGear::as_felt);
    std::vector<char> cleared(recorded.plan.pairs.size(), 0);
    for (const RecordingSetting& setting : recorded.plan.settings) {
      bool clears = recorded.plan.settings.size() == 1;
      for (std::size_t p = 0; p < cleared.size(); ++p) {
        const LinePair& pair = recorded.plan.pairs[p];
        const bool here =
            lines_apart(setting.lines[pair.first], setting.lines[pair.second]).separation >=
            kLinesClear;
        clears = clears || (here && !cleared[p]);
        cleared[p] |= here;
      }
      REQUIRE(clears);  // no setting for nothing
    }
    for (const LinePair& pair : recorded.plan.pairs) {
      double best = 0.0;
      for (const RecordingSetting& setting : tried)
        for (const Estimate& a : setting.lines[pair.first])
          for (const Estimate& b : setting.lines[pair.second]) {
            const double read = reading_sd(0.5 * (a.mean + b.mean));
            best = std::max(best, std::abs(a.mean - b.mean) /
                                      std::sqrt(a.sd * a.sd + b.sd * b.sd + read * read));
          }
      REQUIRE(pair.best == doctest::Approx(best).epsilon(1e-9));
      REQUIRE(pair.ambiguous() == (best < kLinesClear));
      REQUIRE((pair.apart.separation >= kLinesClear) == !pair.ambiguous());
      ambiguous += pair.ambiguous();
    }
    second += recorded.plan.settings.size() > 1;
  }
  CHECK(ambiguous > 50);
  CHECK(second > 50);
}

TEST_CASE("knowing more of the vehicle only raises how far apart the lines can be told") {
  // Every step adds what the vehicle says to what was known before.
  const std::vector<std::vector<Told>> steps = {
      {{"worst_speed", "60 mph", "gps"}},
      {{"tire_size", "225/60R16", ""}},
      {{"driven_axle", "rear", ""}, {"powertrain", "engine", ""}, {"axle_ratio", "3.50", ""}},
      {{"cylinders", "four", ""}},
      {{"gear_ratio", "1.00", ""}},
      {{"gearbox", "manual", ""}},  // and with it the next lower gear
  };
  const std::vector<std::string> suspects = {"tire_once", "brake", "shaft_once", "engine_once",
                                             "firing"};
  // By the names of the lines; 0 where they cannot be computed yet.
  const auto best_of = [](const Recorded& recorded, const std::string& one,
                          const std::string& other) {
    for (const LinePair& pair : recorded.plan.pairs) {
      const std::string &a = recorded.plan.lines[pair.first].about,
                        &b = recorded.plan.lines[pair.second].about;
      if ((a.rfind(one, 0) == 0 && b.rfind(other, 0) == 0) ||
          (a.rfind(other, 0) == 0 && b.rfind(one, 0) == 0))
        return pair.best;
    }
    return 0.0;
  };
  const std::vector<std::string> lines = {"tire order 1", "tire order 2", "driveshaft order 1",
                                          "engine order 1", "engine firing order"};
  std::vector<Told> told;
  std::vector<double> before(lines.size() * lines.size(), 0.0);
  int raised = 0;
  for (const std::vector<Told>& step : steps) {
    told.insert(told.end(), step.begin(), step.end());
    CAPTURE(step.back().fact);
    const Recorded recorded(told, suspects);
    for (std::size_t i = 0; i < lines.size(); ++i)
      for (std::size_t j = i + 1; j < lines.size(); ++j) {
        double& least = before[i * lines.size() + j];
        const double now = best_of(recorded, lines[i], lines[j]);
        CAPTURE(lines[i]);
        CAPTURE(lines[j]);
        CHECK(now >= least - 1e-9);
        raised += now > least + 1e-9;
        least = now;
      }
  }
  CHECK(raised >= 8);
}

TEST_CASE("a tire that was measured lies more surely, so its lines lie further apart") {
  const auto best = [](const std::vector<Told>& more) {
    std::vector<Told> told = car({{"worst_speed", "60 mph", "gps"}, {"axle_ratio", "3.30", ""}});
    told.insert(told.end(), more.begin(), more.end());
    return Recorded(told, {"hop", "shaft_once"}).pair("tire order 3", "driveshaft order 1").best;
  };
  CHECK(best({{"tread_depth", "8 mm", "", "all"}}) > best({}));
}

TEST_CASE("what a recording could show sums to one, and parts what lies apart") {
  const Recorded recorded(car({{"worst_speed", "60 mph", "gps"}, {"axle_ratio", "3.50", ""}}),
                          {"tire_once", "tire_again", "shaft_once", "firing"});
  const auto rows = expected_readings(recorded.plan, recorded.plan.settings[0], 4);
  for (const auto& row : rows) {
    double sum = 0.0;
    for (const double p : row) sum += p;
    CHECK(sum == doctest::Approx(1.0).epsilon(1e-3));
  }
  CHECK(rows[0] == rows[1]);
  double sum = 0.0, unknown = 0.0;
  for (std::size_t b = 0; b < rows[0].size(); ++b) {
    sum += 0.5 * std::abs(rows[0][b] - rows[2][b]);
    unknown += 0.5 * std::abs(rows[3][b] - rows[0][b]);
  }
  CHECK(sum == doctest::Approx(0.9).epsilon(1e-3));  // one reading in ten is something else
  CHECK(unknown > 0.5);  // the engine's line is not known: it may lie anywhere
}

TEST_CASE("an electric vehicle has no gear to change, and a standing complaint one setting") {
  std::vector<Told> electric = car({{"worst_speed", "60 mph", "gps"}});
  electric[2].value = "electric";
  for (const RecordingSetting& setting : Recorded(electric, {"tire_once", "brake"}).plan.settings) {
    CHECK(setting.gear == RoadGear::as_felt);
    CHECK(!setting.engine);
  }
  const Recorded standing(car({{"worst_speed", "0 mph", ""}, {"rpm_at_worst", "800 rpm", ""}}),
                          {"engine_once", "firing"});
  REQUIRE(standing.plan.settings.size() == 1);
  // 800 / 60 = 13.33 Hz, and the firing order twice that.
  CHECK(standing.hz("engine order 1") == doctest::Approx(800.0 / 60.0).epsilon(1e-9));
  CHECK(standing.hz("engine firing order (2)") == doctest::Approx(1600.0 / 60.0).epsilon(1e-9));
}
