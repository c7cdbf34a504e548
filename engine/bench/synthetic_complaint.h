// A complaint made up from physics, with the truth beside it, and the best that anybody could make
// of it.
//
// A cause under `faults` of rules/physics.yaml is drawn as often as it is usual, then a vehicle
// that can have it, a line and an axle, a road, and one number for the fault's size and the person.
// What is said follows from physics/saying.h over speeds as people round them; what a road test
// finds from tables of its own (synthetic_tables.h). No answer model of the rule base is asked.
//
// The best: the probability of each cause and line given what was heard, by the very tables from
// which it was drawn, summed over all that was not heard. Nobody does better on the average.
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "engine/bench/synthetic_tables.h"
#include "engine/casefile/casefile.h"
#include "engine/physics/saying.h"
#include "engine/random.h"

namespace perrev {

// Speeds are named in steps of 5 mph: the k-th is 5 (k + 1).
inline constexpr int kNamedSpeeds = 24;
double named_speed(int which);  // m/s as named

struct SyntheticVehicle {
  int kind = 0, size = 0, ratio = 0;                                 // of synthetic_tables.h
  int powertrain = 0, driven_axle = 0, gearbox = 0, cylinders = -1;  // answers; -1: it has none
};

// What the ideal judge goes by; -1 where nothing is known.
struct SyntheticHeard {
  int kind = 0, size = -1, ratio = -1, powertrain = 0, driven_axle = -1;
  bool satellite = false;                  // the speeds are true ones
  int worst = -1, begins = -1, ends = -1;  // named speeds
  int strength = -1, pace = -1;
  std::optional<std::array<bool, kTicks>> places;
  double hz = 0.0;         // 0: not measured
  std::vector<int> finds;  // by synthetic_finds()
};

struct SyntheticTruth {
  int cause = -1;
  std::string source;
  double order = 1.0;
  bool front = true;
  double turns_per_metre = 0.0;  // of the part, with the true circumference
  double circumference = 1.0;    // true over nominal
  double roughness = 1.0;        // of the road, over that of physics.yaml
  double number_db = 0.0;        // size and person, over the median
  double worst_speed = 0.0;      // true, m/s: where it was driven and measured; 0: not said
  SyntheticVehicle vehicle;
};

struct SyntheticComplaint {
  SyntheticTruth truth;
  SyntheticHeard heard;
  std::vector<Entry> entries;
};

// "tire order 1"; orders from 5 up are one: "tire order 5 and higher".
std::string line_name(const std::string& source, double order);

struct LineShare {
  std::string line;
  double probability = 0.0;
};

struct IdealJudgement {
  std::vector<double> faults;    // by PhysicsBook::faults
  std::vector<LineShare> lines;  // most probable first, ties by name
};

// Most probable first; equal names add up.
std::vector<LineShare> added_up(std::vector<LineShare> shares);

class Simulator {
 public:
  // The rule base must outlive it.
  explicit Simulator(const RuleBase& base);

  // False where the rule base lacks what is drawn: physics, or a fact of the vehicle.
  bool can_draw() const;
  // Whether complaints of the cause can be drawn.
  bool can_draw(int cause) const;
  // Of one cause, or of any. The same seed and number give the same complaint.
  SyntheticComplaint draw(std::uint64_t seed, std::uint64_t number, int cause = -1) const;
  IdealJudgement judge(const SyntheticHeard& heard) const;
  // As a reference case, with the truth in words under `simulated`.
  std::string case_text(const SyntheticComplaint& complaint, std::uint64_t seed,
                        std::uint64_t number) const;
  // Bands of what is named, in true speed.
  const AskedSpeeds& asked(bool satellite) const;
  // The physics of a road of that roughness (1/2, 1, 2 times).
  const PhysicsBook& book(double roughness) const;

  const RuleBase& base() const { return *base_; }

 private:
  struct Way {
    std::string source, line;
    double order = 1.0;
    bool front = true;
    double turns_per_metre = 0.0;
    int road = 0;
    std::vector<SaidOfWay> said;  // by the dash, by satellite
    std::vector<double> weight;   // by level
  };
  struct Ways {
    std::vector<Way> ways;  // their weights sum to one
  };
  struct Table {
    std::once_flag made;
    std::vector<Ways> faults;  // by PhysicsBook::faults
  };

  const Ways& ways(const SyntheticVehicle& vehicle, std::size_t fault) const;
  void make(Table& table, const SyntheticVehicle& vehicle) const;
  std::vector<Way> lines(const SyntheticVehicle& vehicle, const PhysicsFault& fault) const;
  double decibels(std::size_t fault, double z) const;  // dB of so many standard deviations
  double level(std::size_t fault, std::size_t n) const;
  double likelihood(const SyntheticHeard& heard, const Way& way, std::size_t fault) const;
  double of_vehicle(const SyntheticHeard& heard, std::size_t fault) const;
  SyntheticVehicle draw_vehicle(Random& random, const PhysicsFault& fault) const;
  // How often the way, over how often where the driven axle (an answer) is not known.
  double with_driven(const PhysicsFault& fault, const Way& way, int driven_axle) const;
  void hear(Random& random, SyntheticComplaint& out, const Way& way) const;
  void enter(Random& random, SyntheticComplaint& out) const;

  const RuleBase* base_;
  std::vector<PhysicsBook> books_;  // by road
  std::array<AskedSpeeds, 2> asked_;
  std::vector<double> usual_;        // by fault
  std::vector<char> on_shaft_;       // by fault: its lines hang on the axle ratio
  std::vector<int> kind_answers_;    // of vehicle_kind, by synthetic_kinds()
  std::array<int, 5> of_vehicle_{};  // facts: kind, powertrain, driven axle, gearbox, cylinders
  mutable std::vector<std::unique_ptr<Table>> tables_;
};

}  // namespace perrev
