// The rotating parts of one vehicle as a graph: how fast each turns when some speed is known.
//
// Vertices are parts, edges carry the ratio of their speeds (Boost.Graph; kept inside the .cpp).
// Speeds propagate along ratios from every speed that is known, with first-order uncertainty. A
// speed that contradicts another (rpm, gear and road speed that cannot all be true) becomes a
// Conflict and is told, never averaged away. Frequencies in Hz.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/result.h"
#include "engine/vehicle/tire.h"

namespace perrev {

enum class DrivenAxle { unknown, front, rear, all, part_time };
enum class Powertrain { unknown, engine, hybrid, electric };
enum class Gearbox { unknown, manual, automatic, dual_clutch, belt, single_speed };
enum class SpeedSource { unknown, speedometer, gps };

// By the words of the rule base and the command line; `unknown` for any other.
DrivenAxle driven_axle_named(std::string_view word);
Powertrain powertrain_named(std::string_view word);
Gearbox gearbox_named(std::string_view word);
SpeedSource speed_source_named(std::string_view word);

// What a case knows of the vehicle. Empty means unknown; nothing is assumed from silence except
// where a member says so.
struct VehicleFacts {
  std::optional<Tire> front_tire, rear_tire;
  TireState front_state, rear_state;
  // The size the speedometer is set for; default: the fitted one.
  std::optional<Tire> speedometer_tire;
  DrivenAxle driven_axle = DrivenAxle::unknown;
  Powertrain powertrain = Powertrain::unknown;
  Gearbox gearbox = Gearbox::unknown;
  std::optional<double> axle_ratio;  // driveshaft turns per wheel turn
  std::optional<double> gear_ratio;  // engine turns per gearbox output turn, in the gear driven
  // Gearbox output turns per driveshaft turn; 1 where unknown.
  std::optional<double> transfer_ratio;
  std::optional<double> reduction_ratio;  // motor turns per wheel turn (electric drive)
  std::optional<double> accessory_ratio;  // accessory turns per crankshaft turn
  std::optional<int> cylinders;
};

// What is known of the moment the vibration was felt.
struct Motion {
  std::optional<double> speed;  // m/s as read
  SpeedSource by = SpeedSource::unknown;
  double speed_reading_sd = 0.447;         // m/s: an observer reads to 1 mph
  std::optional<double> engine_hz;         // crankshaft turns per second
  double engine_reading_sd = 50.0 / 60.0;  // Hz: an observer reads rpm to 50
};

// Parts: front_wheels, rear_wheels, front_half_shafts, rear_half_shafts, driveshaft (to the rear
// axle), front_driveshaft, gearbox_output, converter (its output side: the housing turns with the
// engine), engine (the crankshaft), accessory, motor_rotor, and front_motor_rotor or
// rear_motor_rotor for the second motor of an electric all-wheel drive.
struct PartSpeed {
  std::string part;
  Estimate hz;
  std::string from;  // how it follows, in words: "rear wheels x axle ratio 3.73"
};

struct Conflict {
  std::string part;
  Estimate one, other;  // Hz
  std::string what;     // a sentence for a person
};

// One line a vibration may sit on. `source` is a word of the rule base: tire, driveshaft,
// front_driveshaft, engine, motor_rotor, accessory.
struct OrderLine {
  std::string source;
  std::string part;
  double order = 0.0;
  Estimate hz;
  std::string about;  // "tire order 1, front", "firing order of six cylinders"
};

struct Rotations {
  std::vector<PartSpeed> parts;     // sorted by part
  std::vector<Conflict> conflicts;  // sorted by part
  const PartSpeed* find(const std::string& part) const;
};

// A speedometer counts turns of the driven axle, so the speed on the dash gives the turns of those
// wheels by the circumference it is set for, whatever is fitted; satellite speed gives them by what
// is fitted. A vehicle that stands still tells nothing of its wheels.
//
// On conflict the part keeps what was read directly, and nothing passes between the engine and the
// road. Readings that agree are combined, each weighted by its uncertainty.
//
// Two tires that cannot be on one vehicle's axle are the caller's problem; here front and rear may
// differ. An axle with a temporary spare gets a wider uncertainty: its two wheels turn differently.
Rotations rotations(const VehicleFacts& vehicle, const Motion& motion);

// One tire line stands for both axles (part "wheels") unless they differ by more than 0.1 %. Half
// the firing order, of cylinders switched off, only where half the cylinders are a whole number.
//
// The lines that can be excited on this vehicle (tire 1..4, driveshaft 1..2, engine 0.5, 1, 2,
// firing and its half and double, motor rotor 1, accessory 1, ...), sorted by frequency, ties by
// source and order.
std::vector<OrderLine> order_lines(const VehicleFacts& vehicle, const Rotations& rotations);

}  // namespace perrev
