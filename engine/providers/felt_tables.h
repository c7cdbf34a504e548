// P(answer | fault) of everything that is felt, for one vehicle: made once, asked often.
#pragma once

#include <array>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "engine/knowledge/rule_base.h"
#include "engine/physics/saying.h"
#include "engine/vehicle/tire.h"

namespace perrev {

// What faults turn with. Lines at the front are those of front_wheels, front_driveshaft and
// motor_rotor.
enum class FeltPart { front_wheels, rear_wheels, driveshaft, front_driveshaft, motor_rotor };
inline constexpr std::size_t kFeltParts = 5;

// Which facts of a rule base are computed, and which the tables hang on.
struct FeltBook {
  explicit FeltBook(const RuleBase& base);

  std::vector<int> facts;  // ascending
  VehicleFactIndices vehicle;
  int wheels_changed = -1;
};

// What of a case the tables hang on.
struct FeltVehicle {
  int body = 0;                            // index into PhysicsBook::bodies
  std::array<Estimate, kFeltParts> turns;  // per metre of road
  double front_changed = -1.0;  // probability that a changed wheel is at the front; -1: not known
  DrivenAxle driven = DrivenAxle::unknown;
};
FeltVehicle felt_vehicle(const RuleBase& base, const CaseFacts& facts, std::size_t round);
FeltVehicle felt_vehicle(const RuleBase& base, const FeltBook& book, const RoundFacts& round);

// Probability that a fault sits at the front axle, where the driven axle may be known, and where
// what was changed may be.
double front_share(const PhysicsFault& fault, DrivenAxle driven);
double front_share(const PhysicsFault& fault, const FeltVehicle& vehicle);
// Of the ways of a fault, what share is at this part of the vehicle; of wheels, the two axles
// share.
double share_at(const PhysicsFault& fault, FeltPart part, const FeltVehicle& vehicle);

// A line of a fault, and how it is felt there.
struct FeltLine {
  double share = 0.0;
  double order = 1.0;
  Estimate turns_per_metre;
  bool front = true;
  std::string source;  // as a cause shakes by
  std::string about;
};

// One way of a fault, for whom it is told in words.
struct FeltWayAbout {
  std::string source, part;  // "tire", "tire order 1, front"
  double order = 1.0;
  double worst_speed = 0.0;  // m/s
  FeltPlace most = FeltPlace::seat;
  bool heard = false;  // rather than felt
};

// The ways of one fault at one part.
struct FeltTable {
  std::size_t fault = 0;  // index into PhysicsBook::faults
  std::size_t first = 0;  // of FeltPartTables::weight
  std::vector<FeltWayAbout> about;
  double complaints = 0.0;  // sum of the weights

  std::size_t cells() const { return about.size() * kLevels; }
};

// Numbers by way and level: kLevels of each way of each fault, one fault after another.
struct FeltPartTables {
  std::vector<int> variables;     // of the facts that are computed, ascending
  std::vector<FeltTable> faults;  // that have a line at this part
  std::vector<double> weight;     // on one scale over all parts of a fault
  // P(answer | way, number) by variable and answer.
  std::vector<std::vector<std::vector<double>>> said;
};

FeltPartTables felt_tables(const RuleBase& base, int body, FeltPart part, const Estimate& turns);

// Those of all parts of a vehicle.
struct FeltTables {
  FeltVehicle vehicle;
  std::array<std::shared_ptr<const FeltPartTables>, kFeltParts> parts;

  const std::vector<int>& variables() const { return parts.front()->variables; }
};

// Turns as tables are made for: on a grid so fine that what a speed is known to hides it (one per
// cent; 0.25 of a per cent in the standard deviation), so that vehicles share tables.
Estimate on_grid(const Estimate& turns);

// Levels over said_speeds() of faults of their median size, on one vehicle.
class FeltWays {
 public:
  // `book` must outlive it.
  FeltWays(const PhysicsBook& book, int body) : model_(book, body) {}
  FeltWay of(const PhysicsFault& fault, const FeltLine& line);

 private:
  using JustFelt = std::vector<std::array<double, kFeltPlaces>>;  // by speed

  FeltModel model_;
  std::map<double, JustFelt> just_felt_;  // by shakes per metre: what faults on one line share
};

}  // namespace perrev
