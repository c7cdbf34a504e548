// What a case says of its vehicle and of the moment it shook.
#include "engine/casefile/vehicle_of.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "tests/engine/casefile/tiny_base.h"

using doctest::Approx;
using perrev::CaseFacts;
using perrev::DrivenAxle;
using perrev::Gearbox;
using perrev::Motion;
using perrev::Powertrain;
using perrev::SpeedSource;
using perrev::VehicleFacts;
using perrev::tiny::base;
using perrev::tiny::case_text;
using perrev::tiny::facts_in;
using perrev::tiny::parsed;
using perrev::tiny::repaired;
using perrev::tiny::said;
using perrev::tiny::unsure;

namespace {

using Entries = std::vector<std::string>;

constexpr double kMph = 0.44704;

VehicleFacts vehicle(const Entries& entries) {
  const CaseFacts facts = facts_in(entries);
  return vehicle_of(base(), facts, facts.rounds.size() - 1);
}

Motion motion(const Entries& entries) {
  const CaseFacts facts = facts_in(entries);
  return motion_of(base(), facts, facts.rounds.size() - 1);
}

std::string tire(const std::string& place, const std::string& size) {
  return said("bay", "tire_size", "\"" + size + "\"",
              place.empty() ? "" : "\"place\": \"" + place + "\"");
}

std::string wheel(const std::string& fact, const std::string& place, const std::string& value) {
  return said("bay", fact, "\"" + value + "\"", "\"place\": \"" + place + "\"");
}

// "front size / rear size"; a dash where none is known.
std::string tires(const Entries& entries) {
  const VehicleFacts found = vehicle(entries);
  return (found.front_tire ? found.front_tire->designation : "-") + " / " +
         (found.rear_tire ? found.rear_tire->designation : "-");
}

std::string axle_problems(const Entries& entries) {
  const perrev::CaseFile file = parsed(case_text(entries));
  const CaseFacts facts = facts_in(entries);
  const auto found = vehicle_of(file, base(), facts, facts.rounds.size() - 1);
  std::string out;
  if (!found)
    for (const perrev::Problem& each : found.error())
      out += (out.empty() ? "" : "\n") + each.text();
  return out;
}

}  // namespace

TEST_CASE("nothing is known of a vehicle that nobody described") {
  const VehicleFacts found = vehicle({unsure("write_up", "driven_axle")});
  CHECK_FALSE(found.front_tire.has_value());
  CHECK_FALSE(found.rear_tire.has_value());
  CHECK_FALSE(found.speedometer_tire.has_value());
  CHECK(found.driven_axle == DrivenAxle::unknown);
  CHECK(found.powertrain == Powertrain::unknown);
  CHECK(found.gearbox == Gearbox::unknown);
  CHECK_FALSE(found.axle_ratio.has_value());
  CHECK_FALSE(found.cylinders.has_value());
}

TEST_CASE("words and ratios of the vehicle") {
  const VehicleFacts found = vehicle(
      {said("write_up", "driven_axle", "\"part_time\""),
       said("write_up", "powertrain", "\"hybrid\""), said("write_up", "gearbox", "\"automatic\""),
       said("write_up", "cylinders", "\"six\""), said("bay", "axle_ratio", "\"3.73\""),
       said("bay", "speedometer_tire_size", "\"225/60R16\"")});
  CHECK(found.driven_axle == DrivenAxle::part_time);
  CHECK(found.powertrain == Powertrain::hybrid);
  CHECK(found.gearbox == Gearbox::automatic);
  CHECK(found.cylinders == std::optional<int>(6));
  CHECK(found.axle_ratio == std::optional<double>(3.73));
  REQUIRE(found.speedometer_tire.has_value());
  CHECK(found.speedometer_tire->designation == "225/60R16");
}

TEST_CASE("the tire of an axle: either wheel's, the other axle's, a temporary spare only at last") {
  const std::string big = "275/35R19", small = "245/40R18", spare = "T125/70D16";
  CHECK(tires({tire("", small)}) == small + " / " + small);
  CHECK(tires({tire("front_axle", small), tire("rear_axle", big)}) == small + " / " + big);
  CHECK(tires({tire("right_rear", big)}) == big + " / " + big);
  CHECK(tires({tire("all", small), tire("left_rear", spare)}) == small + " / " + small);
  CHECK(tires({tire("left_rear", spare)}) == spare + " / " + spare);
  CHECK(tires({tire("front_axle", spare), tire("rear_axle", small)}) == spare + " / " + small);
}

TEST_CASE("tread and pressure of an axle are the means of what was read on it") {
  const VehicleFacts found = vehicle({wheel("tread_depth", "left_front", "6 mm"),
                                      wheel("tread_depth", "right_front", "4 mm"),
                                      wheel("tread_depth", "left_rear", "7 mm")});
  REQUIRE(found.front_state.tread_depth.has_value());
  REQUIRE(found.rear_state.tread_depth.has_value());
  CHECK(*found.front_state.tread_depth == Approx(0.005));
  CHECK(*found.rear_state.tread_depth == Approx(0.007));
  CHECK_FALSE(found.front_state.pressure.has_value());
}

TEST_CASE("two tires that do not fit one axle are told at the right one; 3 % is still one size") {
  const std::string apart = " do not fit one ";
  const std::string right = "; two tires of the same size";
  struct Row {
    std::string left, other, problem;  // diameters by 25.4 mm and the aspect ratio, exact
  };
  const Row rows[] = {
      {"225/60R16", "225/60R16", ""},
      {"225/60R16", "235/60R16", ""},  // 676.4 and 688.4 mm: 1.8 %
      {"225/60R16", "215/65R16", ""},  // 676.4 and 685.9 mm: 1.4 %
      {"225/60R16", "205/70R16", ""},  // 676.4 and 693.4 mm: 2.5 %
      {"225/60R16", "225/65R16",       // 676.4 and 698.9 mm: 3.2 %
       "a.json:/entries/1/value: error: the tires 225/60R16 and 225/65R16" + apart + "front axle" +
           right},
      {"225/60R16", "235/65R16",  // 676.4 and 711.9 mm: 5.0 %
       "a.json:/entries/1/value: error: the tires 225/60R16 and 235/65R16" + apart + "front axle" +
           right},
      {"225/60R16", "T125/70D16", ""},  // a temporary spare is always smaller
      {"T125/70D16", "225/60R16", ""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.other);
    CHECK(axle_problems({tire("left_front", row.left), tire("right_front", row.other)}) ==
          row.problem);
  }
  CHECK(axle_problems({tire("front_axle", "225/60R16"), tire("rear_axle", "235/65R16")}).empty());
  CHECK(axle_problems({tire("left_front", "225/60R16"), tire("right_front", "235/65R16"),
                       tire("right_rear", "31x10.50R15LT"), tire("left_rear", "225/60R16")}) ==
        "a.json:/entries/1/value: error: the tires 225/60R16 and 235/65R16" + apart + "front axle" +
            right + "\na.json:/entries/2/value: error: the tires 225/60R16 and 31x10.50R15LT" +
            apart + "rear axle" + right);
}

TEST_CASE("the moment it shook: worst speed and rpm, and where the speed was read") {
  const Motion nothing = motion({unsure("road", "worst_speed")});
  CHECK_FALSE(nothing.speed.has_value());
  CHECK_FALSE(nothing.engine_hz.has_value());
  CHECK(nothing.by == SpeedSource::unknown);
  for (const auto& [by, source] : std::vector<std::pair<std::string, SpeedSource>>{
           {"", SpeedSource::unknown},
           {"gps", SpeedSource::gps},
           {"speedometer", SpeedSource::speedometer}}) {
    CAPTURE(by);
    const std::string with = by.empty() ? "" : "\"with\": {\"by\": \"" + by + "\"}";
    const Motion found = motion({said("road", "worst_speed", "[\"60 mph\", \"70 mph\"]", with),
                                 said("road", "rpm_at_worst", "\"1650 rpm\"")});
    REQUIRE(found.speed.has_value());
    REQUIRE(found.engine_hz.has_value());
    CHECK(*found.speed == Approx(65 * kMph));
    CHECK(*found.engine_hz == Approx(27.5));
    CHECK(found.by == source);
  }
}

TEST_CASE("what was held while the frequency was measured wins") {
  const std::string worst =
      said("road", "worst_speed", "\"65 mph\"", "\"with\": {\"by\": \"gps\"}");
  const std::string rpm = said("road", "rpm_at_worst", "\"1650 rpm\"");
  const auto measured = [](const std::string& with) {
    return said("road", "measured_frequency", "\"14 Hz\"", "\"with\": {" + with + "}");
  };
  struct Row {
    std::string with;
    double mph, rpm;  // rpm 0: not known
    SpeedSource by;
  };
  const Row rows[] = {
      {"", 65, 1650, SpeedSource::gps},
      {R"("note": "tank half full")", 65, 1650, SpeedSource::gps},
      {R"("rpm": "1800 rpm")", 65, 1800, SpeedSource::gps},
      {R"("speed": "65 mph", "by": "speedometer")", 65, 1650, SpeedSource::speedometer},
      // At another speed the engine turned otherwise.
      {R"("speed": "45 mph", "by": "gps")", 45, 0, SpeedSource::gps},
      {R"("speed": "45 mph")", 45, 0, SpeedSource::unknown},
      {R"("speed": "45 mph", "rpm": "1200 rpm")", 45, 1200, SpeedSource::unknown},
  };
  for (const Row& row : rows) {
    CAPTURE(row.with);
    const Motion found = motion({worst, rpm, measured(row.with)});
    CHECK(found.speed.value_or(0) == Approx(row.mph * kMph));
    CHECK(found.engine_hz.value_or(0) * 60 == Approx(row.rpm));
    CHECK(found.by == row.by);
  }
}

TEST_CASE("the vehicle is the same in every round, the moment is not") {
  const CaseFacts facts = facts_in(
      {said("road", "worst_speed", "\"65 mph\""), repaired("rebalance"),
       said("write_up", "tire_size", "\"225/60R16\""), said("road", "worst_speed", "\"45 mph\"")});
  CHECK(vehicle_of(base(), facts, 0).front_tire.has_value());
  CHECK(motion_of(base(), facts, 0).speed.value_or(0) == Approx(65 * kMph));
  CHECK(motion_of(base(), facts, 1).speed.value_or(0) == Approx(45 * kMph));
}
