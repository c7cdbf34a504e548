// Which frequencies the parts can excite, each once.
#include <doctest/doctest.h>

#include <set>
#include <string>
#include <utility>
#include <vector>

#include "engine/quantity/quantity.h"
#include "engine/vehicle/rotation.h"

using perrev::DrivenAxle;
using perrev::Gearbox;
using perrev::Motion;
using perrev::order_lines;
using perrev::OrderLine;
using perrev::parse_tire;
using perrev::Powertrain;
using perrev::rotations;
using perrev::SpeedSource;
using perrev::VehicleFacts;

namespace {

std::vector<OrderLine> lines_of(const VehicleFacts& vehicle, const Motion& motion) {
  return order_lines(vehicle, rotations(vehicle, motion));
}

Motion at(double mph) {
  Motion motion;
  motion.speed = mph * 0.44704;
  motion.by = SpeedSource::gps;
  return motion;
}

Motion idling(double rpm) {
  Motion motion;
  motion.engine_hz = rpm / 60.0;
  return motion;
}

const OrderLine* find(const std::vector<OrderLine>& lines, const std::string& source,
                      double order) {
  for (const OrderLine& line : lines) {
    if (line.source == source && line.order == order) return &line;
  }
  return nullptr;
}

// "0.5 1 2 4"
std::string orders_of(const std::vector<OrderLine>& lines, const std::string& source) {
  std::string out;
  for (const OrderLine& line : lines) {
    if (line.source == source) out += (out.empty() ? "" : " ") + perrev::show_number(line.order);
  }
  return out;
}

}  // namespace

TEST_CASE("engine lines: half, first, second, firing and its half and double, none twice") {
  struct Row {
    int cylinders;
    std::string orders;
    double firing_hz;  // at 1800 rpm; exact: cylinders/2 per turn of a four-stroke
  };
  const Row rows[] = {
      {3, "0.5 1 1.5 2 3", 45},    {4, "0.5 1 2 4", 60},    {5, "0.5 1 2 2.5 5", 75},
      {6, "0.5 1 1.5 2 3 6", 90},  {8, "0.5 1 2 4 8", 120}, {10, "0.5 1 2 2.5 5 10", 150},
      {12, "0.5 1 2 3 6 12", 180},
  };
  for (const Row& row : rows) {
    CAPTURE(row.cylinders);
    VehicleFacts vehicle;
    vehicle.cylinders = row.cylinders;
    const auto lines = lines_of(vehicle, idling(1800));
    CHECK(orders_of(lines, "engine") == row.orders);
    const OrderLine* firing = find(lines, "engine", row.cylinders / 2.0);
    REQUIRE(firing != nullptr);
    CHECK(firing->hz.mean == doctest::Approx(row.firing_hz));
    CHECK(firing->about.find("firing order of") != std::string::npos);
  }
}

TEST_CASE("one line says all that it is") {
  VehicleFacts vehicle;
  vehicle.cylinders = 4;
  CHECK(find(lines_of(vehicle, idling(1800)), "engine", 2)->about ==
        "engine order 2, firing order of four cylinders");
  vehicle.cylinders = 8;
  CHECK(find(lines_of(vehicle, idling(1800)), "engine", 2)->about ==
        "engine order 2, half the firing order of eight cylinders (half of them switched off)");
}

TEST_CASE("without cylinders an engine still has its first orders, without an engine none") {
  CHECK(orders_of(lines_of({}, idling(1800)), "engine") == "0.5 1 2");
  VehicleFacts vehicle;
  vehicle.cylinders = 6;
  CHECK(lines_of(vehicle, {}).empty());
  for (const int nonsense : {0, -4, 1, 1000}) {
    vehicle.cylinders = nonsense;
    CHECK(orders_of(lines_of(vehicle, idling(1800)), "engine") == "0.5 1 2");
  }
}

TEST_CASE("equal axles give one tire line, unequal ones two") {
  VehicleFacts vehicle;
  vehicle.front_tire = vehicle.rear_tire = parse_tire("225/60R16").value();
  const auto same = lines_of(vehicle, at(65));
  CHECK(orders_of(same, "tire") == "1 2 3 4");
  CHECK(same[0].part == "wheels");
  CHECK(same[0].about == "tire order 1");
  vehicle.rear_tire = parse_tire("255/55R16").value();
  const auto staggered = lines_of(vehicle, at(65));
  CHECK(orders_of(staggered, "tire") == "1 1 2 2 3 3 4 4");
  CHECK(staggered[0].part == "rear_wheels");
  CHECK(staggered[0].about == "tire order 1, rear");
  CHECK(staggered[1].part == "front_wheels");
  vehicle.rear_tire.reset();
  const auto one = lines_of(vehicle, at(65));
  CHECK(orders_of(one, "tire") == "1 2 3 4");
  CHECK(one[0].part == "front_wheels");
}

TEST_CASE("a temporary spare is named in its line") {
  VehicleFacts vehicle;
  vehicle.driven_axle = DrivenAxle::rear;
  vehicle.front_tire = parse_tire("T125/70D16").value();
  vehicle.rear_tire = parse_tire("205/55R16").value();
  for (const OrderLine& line : lines_of(vehicle, at(50))) {
    const bool front = line.part == "front_wheels";
    CHECK((line.about.find("temporary spare") != std::string::npos) == front);
  }
}

TEST_CASE("the lines of a whole truck, sorted and without doubles") {
  VehicleFacts vehicle;
  vehicle.front_tire = vehicle.rear_tire = parse_tire("265/70R17").value();
  vehicle.driven_axle = DrivenAxle::part_time;
  vehicle.gearbox = Gearbox::automatic;
  vehicle.axle_ratio = 3.73;
  vehicle.gear_ratio = 0.75;
  vehicle.accessory_ratio = 2.4;
  vehicle.cylinders = 8;
  const auto lines = lines_of(vehicle, at(58));
  CHECK(orders_of(lines, "driveshaft") == "1 2");
  CHECK(orders_of(lines, "front_driveshaft") == "1 2");
  CHECK(orders_of(lines, "accessory") == "1");
  CHECK(orders_of(lines, "motor_rotor").empty());
  const std::set<std::string> known = {"tire",   "driveshaft",  "front_driveshaft",
                                       "engine", "motor_rotor", "accessory"};
  std::set<std::pair<std::string, double>> seen;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    CHECK(known.count(lines[i].source) == 1);
    CHECK(seen.insert({lines[i].part, lines[i].order}).second);
    if (i > 0) CHECK(lines[i - 1].hz.mean <= lines[i].hz.mean);
  }
  const OrderLine* shaft = find(lines, "driveshaft", 1);
  const OrderLine* twice = find(lines, "driveshaft", 2);
  REQUIRE(shaft != nullptr);
  REQUIRE(twice != nullptr);
  CHECK(shaft->hz.mean == doctest::Approx(58 * 0.44704 / 2.44854 * 3.73).epsilon(1e-4));
  CHECK(twice->hz.mean == doctest::Approx(2 * shaft->hz.mean));
  CHECK(twice->hz.sd == doctest::Approx(2 * shaft->hz.sd));
}

TEST_CASE("two motors are told apart only where their axles turn differently") {
  VehicleFacts vehicle;
  vehicle.front_tire = vehicle.rear_tire = parse_tire("235/45R18").value();
  vehicle.driven_axle = DrivenAxle::all;
  vehicle.powertrain = Powertrain::electric;
  vehicle.reduction_ratio = 9.0;
  CHECK(orders_of(lines_of(vehicle, at(65)), "motor_rotor") == "1");
  vehicle.rear_tire = parse_tire("275/45R18").value();
  const auto lines = lines_of(vehicle, at(65));
  CHECK(orders_of(lines, "motor_rotor") == "1 1");
  CHECK(orders_of(lines, "engine").empty());
  CHECK(find(lines, "motor_rotor", 1)->about == "motor rotor order 1, rear");
}

TEST_CASE("a tire line at highway speed lies where the trade finds it") {
  // Common practice: 55 to 75 mph on 35 in to 14 in tires is 9 to 19 Hz.
  VehicleFacts large, small;
  large.front_tire = large.rear_tire = parse_tire("35x12.50R17LT").value();
  small.front_tire = small.rear_tire = parse_tire("175/65R14").value();
  CHECK(lines_of(large, at(55))[0].hz.mean == doctest::Approx(9.2).epsilon(0.02));
  CHECK(lines_of(small, at(75))[0].hz.mean == doctest::Approx(18.9).epsilon(0.02));
}
