// What `rules/physics.yaml` says: the vehicle, the road and the people that physics computes with.
//
// Plain values, made by knowledge/load.h and never changed. SI inside; the file has its own units,
// named in its keys. Every entry has its origin.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/physics/weighting.h"
#include "engine/result.h"

namespace perrev {

// Where a vibration is felt: answers of `felt_at` of the same name.
enum class FeltPlace { steering_wheel, seat, floor, brake_pedal, gear_lever };
inline constexpr int kFeltPlaces = 5;
std::string_view name_of(FeltPlace place);

// What a fault pushes with. A path leads from one of these to a place.
enum class Push {
  vertical,  // N at the wheel's spindle; through tire, spring and damper to the body
  fore_aft,  // N at the spindle
  steer,     // N m about the kingpin
  lateral,   // N at the spindle
  shaft,     // N at the ends of a driveshaft
  axial,     // N along a half shaft
  torque,    // N m of fluctuating torque in engine, shafts or brakes
  pressure,  // N at the brake pedal
};
inline constexpr int kPushes = 8;
std::string_view name_of(Push push);

// How large a fault is, and in what unit (`size` in the file; inside always SI).
enum class FaultKind {
  imbalance,         // g at the rim flange
  couple_imbalance,  // g at both flanges, opposite
  force_variation,   // N peak to peak, at its order
  radial_runout,     // mm total reading, of the order that shakes
  lateral_runout,    // mm total reading
  eccentricity,      // mm that wheel and axis are apart: runout and imbalance at once
  shaft_imbalance,   // g mm at one end of a shaft, of a motor's rotor, of a crankshaft
  shaft_runout,      // mm total reading in the middle of a shaft
  joint_angle,       // deg, equivalent angle of a shaft's joints
  axial_force,       // N amplitude, of a tripod joint under drive torque
  brake_torque,      // N m peak to peak while braking
  engine_torque,     // N m amplitude at its order
};
inline constexpr int kFaultKinds = 12;
std::string_view name_of(FaultKind kind);
// "g", "N", "mm", ...: of a size in the file and on the command line.
std::string_view unit_of(FaultKind kind);
// SI in one of those units: 1e-3 kg in a gram.
double si_per_unit(FaultKind kind);

// When a fault shakes at all.
enum class ShakesWhile { driving, braking, pulling };
inline constexpr int kShakesWhile = 3;
std::string_view name_of(ShakesWhile when);

// One kind of vehicle; `id` is an answer of `vehicle_kind`.
struct PhysicsBody {
  std::string id;
  double sprung = 0.0, unsprung = 0.0;  // kg, at one corner
  double spring = 0.0, tire = 0.0;      // N/m
  double damper = 0.0;                  // N s/m
  double wheel = 0.0;                   // kg, tire and wheel together
  // Where the case does not know the vehicle: means, and standard deviations relative to them.
  double circumference = 0.0, circumference_sd = 0.0;  // m, rolling
  double axle_ratio = 0.0, axle_ratio_sd = 0.0;
  std::string origin;
};

// From a push to a place: gain times a resonance. `isolates`: 1 far below the resonance and
// nothing far above it; else nothing far below and 1 far above.
struct PhysicsPath {
  Push from = Push::vertical;
  FeltPlace to = FeltPlace::seat;
  double hz = 0.0, damping = 0.0;  // undamped natural frequency; ratio to critical
  bool isolates = false;
  double gain = 0.0;               // m/s2 per N or N m; of vertical: m/s2 per m/s2 of the body
  double front = 1.0, rear = 1.0;  // by the axle that the fault sits at
  std::string origin;
};

// How people feel at a place.
struct PhysicsSense {
  FeltPlace place = FeltPlace::seat;
  Weighting weighting = Weighting::wk;
  double threshold = 0.0;  // m/s2 weighted r.m.s. that half of the people just feel, in quiet
  std::string origin;
};

struct PhysicsPeople {
  std::vector<PhysicsSense> senses;  // one a place, in the order of FeltPlace
  double spread_db = 0.0;            // of thresholds between people, one standard deviation
  double vehicle_spread_db = 0.0;    // of paths between vehicles of one kind
  double listening_hz = 0.0;         // width of the noise in which a steady tone is lost
  double complains_from_db = 0.0;    // above the threshold: half of those who feel it complain
  double complains_spread_db = 0.0;
  double clear_db = 0.0, strong_db = 0.0, alarming_db = 0.0;  // borders of how strong it is called
  double strength_spread_db = 0.0;
  double whole_car_db = 0.0;  // above the threshold at the seat: half call it the whole car
  std::string origin;
};

struct PhysicsRoad {
  double roughness = 0.0;  // m3, displacement spectral density at 0.1 cycles/m (ISO 8608)
  double fore_aft = 0.0, lateral = 0.0;  // N of road noise for each N of it upright
  std::string origin;
};

struct PhysicsFault {
  int cause = -1;
  FaultKind kind = FaultKind::imbalance;
  double median = 0.0;   // SI of the kind; over vehicles with this fault, complained of or not
  double spread = 0.0;   // factor of one standard deviation, above 1
  double front = 0.5;    // probability that it sits at the front axle
  bool changed = false;  // it comes with a wheel or tire that was changed, and sits where that sits
  bool driven = false;   // it sits at the driven axle, where only one is driven
  ShakesWhile when = ShakesWhile::driving;
  // What it does beside its kind: factors on the pushes of these names.
  double steer = 1.0, vertical = 1.0;
  double heard_db = 0.0;  // above what is just heard beside the road, at 18 m/s; 0: not heard
  std::string origin;
  Place place;
};

struct PhysicsBook {
  std::vector<PhysicsBody> bodies;  // in file order; the first where the kind is not known
  std::vector<PhysicsPath> paths;
  PhysicsPeople people;
  PhysicsRoad road;
  std::vector<PhysicsFault> faults;  // sorted by cause
  std::vector<int> fault_of;         // by cause: index into faults, -1
  bool empty() const { return bodies.empty(); }
};

// Of the body with that id; of the first where there is none.
int body_index(const PhysicsBook& book, std::string_view id);

}  // namespace perrev
