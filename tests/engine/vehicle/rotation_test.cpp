// Which part turns how fast: readings, ratios, what is unsure and what contradicts itself.
#include "engine/vehicle/rotation.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

using perrev::DrivenAxle;
using perrev::Gearbox;
using perrev::Motion;
using perrev::parse_tire;
using perrev::PartSpeed;
using perrev::Powertrain;
using perrev::Rotations;
using perrev::rotations;
using perrev::SpeedSource;
using perrev::VehicleFacts;

namespace {

constexpr double kMph = 0.44704;

VehicleFacts vehicle_on(const std::string& size, DrivenAxle driven) {
  VehicleFacts vehicle;
  vehicle.front_tire = vehicle.rear_tire = *parse_tire(size);
  vehicle.driven_axle = driven;
  vehicle.powertrain = Powertrain::engine;
  return vehicle;
}

Motion driving(double mph, SpeedSource by) {
  Motion motion;
  motion.speed = mph * kMph;
  motion.by = by;
  return motion;
}

double hz(const Rotations& rotations, const std::string& part) {
  const PartSpeed* found = rotations.find(part);
  REQUIRE_MESSAGE(found != nullptr, part);
  return found->hz.mean;
}

double relative_sd(const Rotations& rotations, const std::string& part) {
  const PartSpeed* found = rotations.find(part);
  REQUIRE_MESSAGE(found != nullptr, part);
  return found->hz.sd / found->hz.mean;
}

bool says(const Rotations& rotations, const std::string& part, const std::string& words) {
  const PartSpeed* found = rotations.find(part);
  return found != nullptr && found->from.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("wheel and driveshaft of a worked example") {
  VehicleFacts vehicle = vehicle_on("P235/60R16", DrivenAxle::rear);
  vehicle.axle_ratio = 3.42;
  const Rotations r = rotations(vehicle, driving(60, SpeedSource::gps));
  CHECK(hz(r, "rear_wheels") == doctest::Approx(12.78).epsilon(0.005));  // service literature
  CHECK(hz(r, "driveshaft") == doctest::Approx(43.69).epsilon(0.01));    // order = ratio, exact
  CHECK(hz(r, "rear_half_shafts") == hz(r, "rear_wheels"));
  CHECK(r.find("front_half_shafts") == nullptr);
  CHECK(r.find("front_driveshaft") == nullptr);
  CHECK(says(r, "driveshaft", "rear wheels x axle ratio 3.42"));
  CHECK(says(r, "rear_wheels", "road speed 60 mph (96.6 km/h) by satellite"));
}

TEST_CASE(
    "a speedometer is corrected, a satellite is not, and an untold source is wider than both") {
  const VehicleFacts vehicle = vehicle_on("225/60R16", DrivenAxle::front);
  const Rotations gps = rotations(vehicle, driving(65, SpeedSource::gps));
  const Rotations dash = rotations(vehicle, driving(65, SpeedSource::speedometer));
  const Rotations untold = rotations(vehicle, driving(65, SpeedSource::unknown));
  const double nominal = 65 * kMph / 2.06302;  // 3.05 rule
  CHECK(hz(gps, "front_wheels") == doctest::Approx(nominal).epsilon(1e-4));
  // UN R39 lands, common practice: it reads 2.5 % high.
  CHECK(hz(dash, "front_wheels") == doctest::Approx(nominal / 1.025).epsilon(1e-4));
  CHECK(hz(untold, "front_wheels") == doctest::Approx(nominal / 1.025).epsilon(1e-4));
  CHECK(relative_sd(untold, "front_wheels") > 1.2 * relative_sd(dash, "front_wheels"));
  CHECK(relative_sd(untold, "front_wheels") > 1.2 * relative_sd(gps, "front_wheels"));
  CHECK(says(untold, "front_wheels", "source not told"));
}

TEST_CASE("on larger tires the dash counts turns and the satellite counts road") {
  VehicleFacts vehicle = vehicle_on("35x12.50R17LT", DrivenAxle::rear);
  vehicle.speedometer_tire = parse_tire("265/70R17").value();
  const double set = vehicle.speedometer_tire->rolling_circumference;
  const double fitted = vehicle.rear_tire->rolling_circumference;
  CHECK(fitted / set == doctest::Approx(1.09).epsilon(0.005));  // common practice: 9 %
  const Rotations dash = rotations(vehicle, driving(60, SpeedSource::speedometer));
  const Rotations gps = rotations(vehicle, driving(60, SpeedSource::gps));
  CHECK(hz(dash, "rear_wheels") == doctest::Approx(60 * kMph / 1.025 / set));
  CHECK(hz(dash, "front_wheels") == doctest::Approx(60 * kMph / 1.025 / set));
  CHECK(hz(gps, "rear_wheels") == doctest::Approx(60 * kMph / fitted));
  const Rotations untold = rotations(vehicle, driving(60, SpeedSource::unknown));
  CHECK(relative_sd(untold, "rear_wheels") > 0.04);  // may be either of two speeds 9 % apart
  vehicle.speedometer_tire = vehicle.rear_tire;
  const Rotations same = rotations(vehicle, driving(60, SpeedSource::speedometer));
  vehicle.speedometer_tire.reset();
  const Rotations unset = rotations(vehicle, driving(60, SpeedSource::speedometer));
  CHECK(hz(same, "rear_wheels") == hz(unset, "rear_wheels"));
}

TEST_CASE("a speedometer whose tire is known needs no fitted tire") {
  VehicleFacts vehicle;
  vehicle.driven_axle = DrivenAxle::rear;
  vehicle.speedometer_tire = parse_tire("225/60R16").value();
  const Rotations r = rotations(vehicle, driving(60, SpeedSource::speedometer));
  CHECK(hz(r, "rear_wheels") == doctest::Approx(60 * kMph / 1.025 / 2.06302).epsilon(1e-4));
  CHECK(rotations(vehicle, driving(60, SpeedSource::gps)).find("rear_wheels") == nullptr);
}

TEST_CASE("front and rear axles may differ") {
  VehicleFacts vehicle = vehicle_on("225/45R17", DrivenAxle::rear);
  vehicle.rear_tire = parse_tire("255/40R18").value();
  for (const SpeedSource by : {SpeedSource::gps, SpeedSource::speedometer}) {
    const Rotations r = rotations(vehicle, driving(60, by));
    CHECK(hz(r, "front_wheels") * vehicle.front_tire->rolling_circumference ==
          doctest::Approx(hz(r, "rear_wheels") * vehicle.rear_tire->rolling_circumference));
  }
}

TEST_CASE("each layout has its shafts") {
  struct Row {
    DrivenAxle driven;
    std::vector<std::string> has, lacks;
  };
  const Row rows[] = {
      {DrivenAxle::front,
       {"front_half_shafts", "gearbox_output"},
       {"driveshaft", "front_driveshaft", "rear_half_shafts"}},
      {DrivenAxle::rear,
       {"rear_half_shafts", "driveshaft", "gearbox_output"},
       {"front_driveshaft", "front_half_shafts"}},
      {DrivenAxle::all,
       {"front_half_shafts", "rear_half_shafts", "driveshaft", "front_driveshaft"},
       {}},
      {DrivenAxle::part_time, {"driveshaft", "front_driveshaft", "gearbox_output"}, {}},
      {DrivenAxle::unknown, {"driveshaft"}, {"front_driveshaft", "front_half_shafts"}},
  };
  for (const Row& row : rows) {
    VehicleFacts vehicle = vehicle_on("265/70R17", row.driven);
    vehicle.axle_ratio = 3.73;
    const Rotations r = rotations(vehicle, driving(58, SpeedSource::gps));
    for (const std::string& part : row.has) CHECK_MESSAGE(r.find(part) != nullptr, part);
    for (const std::string& part : row.lacks) CHECK_MESSAGE(r.find(part) == nullptr, part);
  }
  VehicleFacts vehicle = vehicle_on("265/70R17", DrivenAxle::unknown);
  CHECK(rotations(vehicle, driving(58, SpeedSource::gps)).find("driveshaft") == nullptr);
  vehicle.axle_ratio = 3.73;
  CHECK(says(rotations(vehicle, driving(58, SpeedSource::gps)), "driveshaft",
             "driven axle not told"));
}

TEST_CASE("law: ratios compose from the wheel to the accessory") {
  VehicleFacts vehicle = vehicle_on("265/70R17", DrivenAxle::part_time);
  vehicle.gearbox = Gearbox::manual;
  vehicle.axle_ratio = 3.73;
  vehicle.transfer_ratio = 2.72;
  vehicle.gear_ratio = 1.4;
  vehicle.accessory_ratio = 2.4;
  const Rotations r = rotations(vehicle, driving(20, SpeedSource::gps));
  const double wheel = hz(r, "rear_wheels");
  CHECK(hz(r, "driveshaft") == doctest::Approx(wheel * 3.73));
  CHECK(hz(r, "front_driveshaft") == doctest::Approx(wheel * 3.73));
  CHECK(hz(r, "gearbox_output") == doctest::Approx(wheel * 3.73 * 2.72));
  CHECK(hz(r, "engine") == doctest::Approx(wheel * 3.73 * 2.72 * 1.4));
  CHECK(hz(r, "accessory") == doctest::Approx(wheel * 3.73 * 2.72 * 1.4 * 2.4));
  CHECK(r.find("converter") == nullptr);
}

TEST_CASE("law: every frequency is proportional to speed") {
  VehicleFacts vehicle = vehicle_on("225/60R16", DrivenAxle::front);
  vehicle.gearbox = Gearbox::automatic;
  vehicle.axle_ratio = 3.9;
  vehicle.gear_ratio = 0.8;
  for (const SpeedSource by : {SpeedSource::gps, SpeedSource::speedometer, SpeedSource::unknown}) {
    const Rotations base = rotations(vehicle, driving(30, by));
    for (const double factor : {0.1, 0.5, 2.0, 3.3}) {
      const Rotations scaled = rotations(vehicle, driving(30 * factor, by));
      REQUIRE(scaled.parts.size() == base.parts.size());
      for (std::size_t i = 0; i < base.parts.size(); ++i) {
        CHECK(scaled.parts[i].part == base.parts[i].part);
        CHECK(scaled.parts[i].hz.mean == doctest::Approx(factor * base.parts[i].hz.mean));
      }
    }
  }
}

TEST_CASE("law: road speed to rpm and that rpm to road speed agree") {
  for (const Gearbox gearbox : {Gearbox::manual, Gearbox::automatic, Gearbox::dual_clutch}) {
    for (const DrivenAxle driven : {DrivenAxle::front, DrivenAxle::rear, DrivenAxle::all}) {
      VehicleFacts vehicle = vehicle_on("205/55R16", driven);
      vehicle.gearbox = gearbox;
      vehicle.axle_ratio = 3.9;
      vehicle.gear_ratio = 0.85;
      const Rotations by_road = rotations(vehicle, driving(60, SpeedSource::gps));
      Motion by_rpm;
      by_rpm.engine_hz = hz(by_road, "engine");
      const Rotations back = rotations(vehicle, by_rpm);
      REQUIRE(back.parts.size() == by_road.parts.size());
      for (const PartSpeed& part : by_road.parts) {
        CAPTURE(part.part);
        CHECK(hz(back, part.part) == doctest::Approx(part.hz.mean));
      }
    }
  }
}

TEST_CASE("a converter slips by nought to five per cent, a belt has no ratio") {
  VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::front);
  vehicle.axle_ratio = 3.9;
  vehicle.gear_ratio = 0.8;
  const Motion motion = driving(60, SpeedSource::gps);
  vehicle.gearbox = Gearbox::manual;
  const Rotations locked = rotations(vehicle, motion);
  vehicle.gearbox = Gearbox::automatic;
  const Rotations slipping = rotations(vehicle, motion);
  const double slip = hz(slipping, "engine") / hz(slipping, "converter") - 1.0;
  CHECK(slip > 0.0);
  CHECK(slip < 0.05);  // from memory
  CHECK(hz(slipping, "converter") == doctest::Approx(hz(locked, "engine")));
  CHECK(relative_sd(slipping, "engine") > relative_sd(locked, "engine"));
  vehicle.gearbox = Gearbox::unknown;
  const Rotations untold = rotations(vehicle, motion);
  CHECK(hz(untold, "engine") == doctest::Approx(hz(locked, "engine")));
  CHECK(relative_sd(untold, "engine") > relative_sd(locked, "engine"));
  vehicle.gearbox = Gearbox::belt;
  CHECK(rotations(vehicle, motion).find("engine") == nullptr);
}

TEST_CASE("readings that agree narrow each other") {
  VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::front);
  vehicle.gearbox = Gearbox::manual;
  vehicle.axle_ratio = 3.9;
  vehicle.gear_ratio = 0.8;
  Motion motion = driving(60, SpeedSource::gps);
  const Rotations road = rotations(vehicle, motion);
  motion.engine_hz = hz(road, "engine") * 1.01;
  const Rotations both = rotations(vehicle, motion);
  CHECK(both.conflicts.empty());
  CHECK(relative_sd(both, "engine") < relative_sd(road, "engine"));
  CHECK(relative_sd(both, "front_wheels") < relative_sd(road, "front_wheels"));
  CHECK(hz(both, "engine") > hz(road, "engine"));
  CHECK(hz(both, "engine") < *motion.engine_hz);
}

TEST_CASE("rpm, gear and road speed that cannot all be true are told and kept apart") {
  VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::front);
  vehicle.gearbox = Gearbox::automatic;
  vehicle.axle_ratio = 3.9;
  vehicle.gear_ratio = 0.8;
  vehicle.accessory_ratio = 2.0;
  Motion motion = driving(60, SpeedSource::gps);
  const Rotations road = rotations(vehicle, motion);
  motion.engine_hz = hz(road, "engine") * 1.3;
  const Rotations both = rotations(vehicle, motion);
  REQUIRE(both.conflicts.size() == 1);
  CHECK(both.conflicts[0].part == "engine");
  CHECK(both.conflicts[0].one.mean == doctest::Approx(*motion.engine_hz));
  CHECK(both.conflicts[0].other.mean == doctest::Approx(hz(road, "engine")));
  CHECK(both.conflicts[0].what.find("rpm") != std::string::npos);
  CHECK(hz(both, "engine") == doctest::Approx(*motion.engine_hz));
  CHECK(hz(both, "accessory") == doctest::Approx(*motion.engine_hz * 2.0));
  CHECK(hz(both, "front_wheels") == doctest::Approx(hz(road, "front_wheels")));
  CHECK(both.find("converter") == nullptr);
}

TEST_CASE("exact readings two per cent apart are no conflict yet") {
  VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::front);
  vehicle.gearbox = Gearbox::manual;
  vehicle.axle_ratio = 3.9;
  vehicle.gear_ratio = 0.8;
  vehicle.front_state.tread_depth = vehicle.rear_state.tread_depth = 0.008;
  vehicle.front_state.pressure = vehicle.front_state.placard_pressure = 230e3;
  Motion motion = driving(60, SpeedSource::gps);
  motion.speed_reading_sd = 0.0;
  motion.engine_reading_sd = 0.0;
  const double driven = hz(rotations(vehicle, motion), "engine");
  motion.engine_hz = driven * 1.019;
  CHECK(rotations(vehicle, motion).conflicts.empty());
  motion.engine_hz = driven * 1.04;
  CHECK(rotations(vehicle, motion).conflicts.size() == 1);
}

TEST_CASE("a hybrid's engine is free of the road unless it has gears of its own") {
  VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::front);
  vehicle.powertrain = Powertrain::hybrid;
  vehicle.axle_ratio = 3.9;
  vehicle.gear_ratio = 0.8;
  vehicle.reduction_ratio = 9.0;
  Motion motion = driving(60, SpeedSource::gps);
  motion.engine_hz = 20.0;
  for (const Gearbox gearbox : {Gearbox::unknown, Gearbox::belt, Gearbox::single_speed}) {
    vehicle.gearbox = gearbox;
    const Rotations r = rotations(vehicle, motion);
    CHECK(r.conflicts.empty());
    CHECK(hz(r, "engine") == doctest::Approx(20.0));
    CHECK(hz(r, "motor_rotor") == doctest::Approx(9.0 * hz(r, "front_wheels")));
  }
  vehicle.gearbox = Gearbox::dual_clutch;
  CHECK(rotations(vehicle, motion).conflicts.size() == 1);
}

TEST_CASE("an electric vehicle has rotors and no engine") {
  VehicleFacts vehicle = vehicle_on("235/45R18", DrivenAxle::rear);
  vehicle.powertrain = Powertrain::electric;
  struct Row {
    double ratio, hz;
  };
  // Common practice: 65 mph on this size.
  for (const Row& row : {Row{7, 100}, Row{9, 128}, Row{11, 157}}) {
    vehicle.reduction_ratio = row.ratio;
    const Rotations r = rotations(vehicle, driving(65, SpeedSource::gps));
    CHECK(hz(r, "motor_rotor") == doctest::Approx(row.hz).epsilon(0.005));
    CHECK(r.find("engine") == nullptr);
    CHECK(r.find("driveshaft") == nullptr);
  }
  vehicle.driven_axle = DrivenAxle::all;
  vehicle.rear_tire = parse_tire("275/45R18").value();
  const Rotations two = rotations(vehicle, driving(65, SpeedSource::gps));
  CHECK(hz(two, "front_motor_rotor") == doctest::Approx(11 * hz(two, "front_wheels")));
  CHECK(hz(two, "motor_rotor") == doctest::Approx(11 * hz(two, "rear_wheels")));
  Motion motion = driving(65, SpeedSource::gps);
  motion.engine_hz = 30.0;
  const Rotations r = rotations(vehicle, motion);
  CHECK(r.find("engine") == nullptr);
  REQUIRE(r.conflicts.size() == 1);
  CHECK(r.conflicts[0].what.find("electric") != std::string::npos);
}

TEST_CASE("a temporary spare widens its axle and not the other") {
  VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::rear);
  vehicle.front_tire = parse_tire("T125/70D16").value();
  for (const SpeedSource by : {SpeedSource::gps, SpeedSource::speedometer}) {
    const Rotations r = rotations(vehicle, driving(50, by));
    CHECK(relative_sd(r, "front_wheels") > 0.05);
    CHECK(relative_sd(r, "rear_wheels") < 0.03);
  }
  vehicle.driven_axle = DrivenAxle::front;
  const Rotations gps = rotations(vehicle, driving(50, SpeedSource::gps));
  CHECK(relative_sd(gps, "rear_wheels") < 0.03);
  // Between its own turns and its mate's.
  CHECK(hz(gps, "front_wheels") > hz(gps, "rear_wheels"));
  CHECK(hz(gps, "front_wheels") < 50 * kMph / vehicle.front_tire->rolling_circumference);
  // The speedometer is set for the full-size tire, spare or no spare.
  const Rotations dash = rotations(vehicle, driving(50, SpeedSource::speedometer));
  CHECK(hz(dash, "front_wheels") ==
        doctest::Approx(50 * kMph / 1.025 / vehicle.rear_tire->rolling_circumference));
}

TEST_CASE("a known tread and pressure narrow the wheels under a satellite") {
  VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::front);
  const Rotations before = rotations(vehicle, driving(60, SpeedSource::gps));
  vehicle.front_state.tread_depth = 0.004;
  vehicle.front_state.pressure = vehicle.front_state.placard_pressure = 230e3;
  const Rotations after = rotations(vehicle, driving(60, SpeedSource::gps));
  CHECK(relative_sd(after, "front_wheels") < relative_sd(before, "front_wheels"));
  CHECK(hz(after, "front_wheels") > hz(before, "front_wheels"));  // worn: smaller, so faster
}

TEST_CASE("nothing known, nothing said") {
  CHECK(rotations({}, {}).parts.empty());
  CHECK(rotations({}, driving(60, SpeedSource::gps)).parts.empty());
  const VehicleFacts vehicle = vehicle_on("205/55R16", DrivenAxle::front);
  CHECK(rotations(vehicle, {}).parts.empty());
  CHECK(rotations(vehicle, driving(0, SpeedSource::gps)).parts.empty());
  CHECK(rotations(vehicle, driving(-5, SpeedSource::gps)).parts.empty());
  VehicleFacts odd = vehicle;
  odd.axle_ratio = -3.0;
  odd.gear_ratio = std::nan("");
  odd.reduction_ratio = 0.0;
  const Rotations r = rotations(odd, driving(60, SpeedSource::gps));
  for (const PartSpeed& part : r.parts) CHECK(std::isfinite(part.hz.mean));
  CHECK(r.find("gearbox_output") == nullptr);
}

TEST_CASE("parts come sorted by name") {
  VehicleFacts vehicle = vehicle_on("265/70R17", DrivenAxle::all);
  vehicle.axle_ratio = 3.73;
  vehicle.gear_ratio = 1.0;
  const Rotations r = rotations(vehicle, driving(58, SpeedSource::gps));
  for (std::size_t i = 1; i < r.parts.size(); ++i) CHECK(r.parts[i - 1].part < r.parts[i].part);
}
