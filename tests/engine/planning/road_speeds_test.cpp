// The speeds of a drive.
#include "engine/planning/road_speeds.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "tests/engine/planning/road_world.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

const RuleBase& base() {
  static const RuleBase made = road_base();
  return made;
}

RoadSpeeds speeds_of(const std::vector<Told>& told, Units units = Units::us) {
  const auto facts = facts_of(road_case(told), base());
  REQUIRE(facts.ok());
  return road_speeds(base(), *facts, units);
}

std::string shown(const std::vector<double>& speeds, Units units) {
  std::string out;
  for (const double v : speeds)
    out += (out.empty() ? "" : " ") +
           std::to_string(static_cast<int>(std::round(in_usual_unit(v, Dimension::speed, units))));
  return out;
}

}  // namespace

TEST_CASE("speeds lie in round figures about the felt one, never far above it") {
  struct Row {
    std::vector<Told> told;
    Units units;
    const char *felt, *recording, *sweep, *coast;
  };
  const std::vector<Row> rows = {
      // From 10 mph below (15 km/h) to 3 above (5 km/h), by 5 mph or 10 km/h.
      {{{"worst_speed", "62 mph", ""}}, Units::us, "62", "55 60 62 65", "50 70", "65 50"},
      {{{"worst_speed", "60 mph", ""}}, Units::us, "60", "50 55 60", "50 65", "65 50"},
      {{{"worst_speed", "100 km/h", ""}}, Units::metric, "100", "90 100", "80 110", "110 80"},
      // 66 mph is 106.2 km/h: held as 106.
      {{{"worst_speed", "66 mph", ""}}, Units::metric, "106", "100 106 110", "90 120", "120 90"},
      // Not below where it begins, nor above where it ends.
      {{{"worst_speed", "62 mph", ""},
        {"begins_speed", "57 mph", ""},
        {"ends_speed", "64 mph", ""}},
       Units::us,
       "62",
       "60 62",
       "45 70",
       "65 50"},
      // No worst speed: the middle of the band; 10 mph above where it begins; 5 below its end.
      {{{"begins_speed", "50 mph", ""}, {"ends_speed", "70 mph", ""}},
       Units::us,
       "60",
       "50 55 60",
       "40 70",
       "65 50"},
      {{{"begins_speed", "45 mph", ""}}, Units::us, "55", "45 50 55", "35 60", "60 45"},
      {{{"ends_speed", "65 mph", ""}}, Units::us, "60", "50 55 60", "50 65", "65 50"},
      // Near the cap of 75 mph, and above it.
      {{{"worst_speed", "74 mph", ""}}, Units::us, "74", "65 70 74", "60 75", "75 60"},
      {{{"worst_speed", "90 mph", ""}}, Units::us, "75", "65 70 75", "65 75", "75 65"},
      // Slow complaints have no lower end below 15 mph.
      {{{"worst_speed", "20 mph", ""}}, Units::us, "20", "15 20", "15 25", "25 15"},
      // Nobody has said a speed.
      {{}, Units::us, "60", "50 55 60 65", "15 65", "65 30"},
      {{}, Units::metric, "100", "80 90 100 110", "20 110", "110 50"},
  };
  for (const Row& row : rows) {
    std::string about;
    for (const Told& told : row.told) about += told.fact + " " + told.value + " ";
    CAPTURE(about);
    const RoadSpeeds speeds = speeds_of(row.told, row.units);
    CHECK(speeds.told == !row.told.empty());
    CHECK(shown({speeds.felt}, row.units) == row.felt);
    CHECK(shown(speeds.recording, row.units) == row.recording);
    CHECK(shown({speeds.sweep_from, speeds.sweep_to}, row.units) == row.sweep);
    CHECK(shown({speeds.coast_from, speeds.coast_to}, row.units) == row.coast);
  }
}

TEST_CASE("the cap: common practice, a small spare, chains, the tires") {
  struct Row {
    std::vector<Told> told;
    const char* cap;
    SpeedCap reason;
  };
  const std::vector<Row> rows = {
      {{}, "75", SpeedCap::usual},
      {{{"tire_size", "225/60R16 98H", ""}}, "75", SpeedCap::usual},  // H: 210 km/h
      {{{"tire_size", "225/60R16 98F", ""}}, "45", SpeedCap::tires},  // F: 80 km/h, 49.7 mph
      {{{"tire_size", "T125/70D15", ""}}, "50", SpeedCap::small_spare},
      {{{"odd_wheel_fitted", "small_spare", ""}}, "50", SpeedCap::small_spare},
      {{{"odd_wheel_fitted", "snow_chain", ""}}, "30", SpeedCap::snow_chain},
  };
  for (const Row& row : rows) {
    CAPTURE(row.told.empty() ? "" : row.told[0].value);
    const RoadSpeeds speeds = speeds_of(row.told);
    CHECK(shown({speeds.cap}, Units::us) == row.cap);
    CHECK(speeds.cap_reason == row.reason);
    for (const double v : speeds.recording) CHECK(v <= speeds.cap + 1e-9);
    CHECK(speeds.sweep_to <= speeds.cap + 1e-9);
  }
}

TEST_CASE("what is felt standing is not looked for at speed") {
  for (const char* speed : {"0 mph", "3 mph"}) {
    const RoadSpeeds speeds = speeds_of({{"worst_speed", speed, ""}});
    CHECK(speeds.standing);
    CHECK(speeds.recording.size() == 1);
  }
  CHECK(!speeds_of({{"worst_speed", "6 mph", ""}}).standing);
}

TEST_CASE("no speed is ever above the cap or far above the felt one") {
  for (int mph = 6; mph <= 150; ++mph)
    for (const Units units : {Units::us, Units::metric}) {
      CAPTURE(mph);
      const RoadSpeeds speeds =
          speeds_of({{"worst_speed", std::to_string(mph) + " mph", ""}}, units);
      CHECK(speeds.capped == (mph * 0.44704 > speeds.cap));
      REQUIRE(!speeds.recording.empty());
      for (const double v : speeds.recording) {
        CHECK(v <= speeds.cap + 1e-9);
        CHECK(v <= (mph + 3.6) * 0.44704);
        CHECK(v >= speeds.felt - 10.1 * 0.44704);
      }
      CHECK(speeds.sweep_from < speeds.sweep_to);
      CHECK(speeds.coast_to < speeds.coast_from);
    }
}
