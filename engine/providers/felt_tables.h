// P(answer | fault) of everything that is felt, for one vehicle: made once, asked often.
#pragma once

#include <array>
#include <map>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"
#include "engine/physics/saying.h"
#include "engine/vehicle/tire.h"

namespace perrev {

// What of a case the tables hang on; numbers of parts are turns per metre of road.
struct FeltVehicle {
  int body = 0;  // index into PhysicsBook::bodies
  Estimate front_wheels, rear_wheels, driveshaft, front_driveshaft, motor_rotor;
  double front_changed = -1.0;  // probability that a changed wheel is at the front; -1: not known

  bool operator==(const FeltVehicle& o) const;
};
FeltVehicle felt_vehicle(const RuleBase& base, const CaseFacts& facts, std::size_t round);

// One way of a fault, for whom it is told in words.
struct FeltWayAbout {
  std::string part;          // "tire order 1, front"
  double worst_speed = 0.0;  // m/s
  FeltPlace most = FeltPlace::seat;
  bool heard = false;  // rather than felt
};

struct FeltTable {
  int cause = -1;
  std::size_t first = 0;            // of FeltTables::weight
  std::vector<FeltWayAbout> about;  // by way; empty: not computed

  std::size_t cells() const { return about.size() * kLevels; }
};

// Numbers by way and level: kLevels of each way of each fault, one fault after another.
struct FeltTables {
  std::vector<int> variables;     // of the facts that are computed, ascending
  std::vector<FeltTable> faults;  // in the order of PhysicsBook::faults
  std::vector<double> weight;     // sums to one over a fault
  // P(answer | way, number) by variable and answer.
  std::vector<std::vector<std::vector<double>>> said;
};

FeltTables felt_tables(const RuleBase& base, const FeltVehicle& vehicle);

// The lines of a fault on this vehicle, each at its axle, and how it is felt there.
struct FeltLine {
  double share = 0.0;
  double order = 1.0;
  Estimate turns_per_metre;
  bool front = true;
  std::string source;  // as a cause shakes by
  std::string about;
};
std::vector<FeltLine> felt_lines(const RuleBase& base, const PhysicsFault& fault,
                                 const FeltVehicle& vehicle);

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
