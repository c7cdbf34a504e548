// From a fault of some size to what a person feels, over speed.
//
//     size -> pushes (forces.h) -> paths (quarter_car.h, a resonance each) -> acceleration at each
//     place -> frequency weighting -> level above what is just felt there -> probability
//
// A steady tone is felt when its weighted r.m.s. rises above
//     threshold^2 + (road noise density at the place) x (listening width),
// which is detection of a tone in noise: people pick a steady tone out of the noise near its
// frequency alone. Thresholds of people, and the paths of vehicles of one kind, scatter about that
// normally in decibels. Gains and listening width are set so that common practice comes out
// (tests/engine/physics/anchors_test.cpp names it).
#pragma once

#include <array>
#include <vector>

#include "engine/physics/quarter_car.h"

namespace perrev {

inline constexpr double kNotThere = -200.0;  // dB

// A fault at a part that turns with the road.
struct FaultAt {
  FaultKind kind = FaultKind::imbalance;
  double size = 0.0;             // SI of the kind
  double order = 1.0;            // per turn of the part
  double turns_per_metre = 0.0;  // of the part, per metre of road
  bool front = true;             // axle
  ShakesWhile when = ShakesWhile::driving;
  double steer = 1.0, vertical = 1.0;  // as in PhysicsFault
};

struct FeltAtPlace {
  double acceleration = 0.0;    // m/s2 r.m.s.
  double weighted = 0.0;        // m/s2 r.m.s.
  double just_felt = 0.0;       // m/s2 weighted r.m.s., road noise included
  double level_db = kNotThere;  // 20 log10 (weighted / just_felt); kNotThere where nothing arrives
  double probability = 0.0;     // that a person in a vehicle of this kind feels it
};

struct FeltPoint {
  double speed = 0.0;  // m/s
  double hz = 0.0;
  std::array<double, kPushes> pushes{};  // amplitudes: N, N m
  std::array<FeltAtPlace, kFeltPlaces> places{};
  double probability = 0.0;  // that it is felt at some place
};

// The vehicle's own part of the calculation. Keeps a pointer to `book`.
class FeltModel {
 public:
  FeltModel(const PhysicsBook& book, int body);

  // In the order of `speeds` (m/s, above 0).
  std::vector<FeltPoint> curve(const FaultAt& fault, const std::vector<double>& speeds) const;
  FeltPoint at(const FaultAt& fault, double speed) const;
  // The same with what is just_felt() there, which faults on one line share.
  FeltPoint at(const FaultAt& fault, double speed,
               const std::array<double, kFeltPlaces>& least) const;
  // Amplitudes of what it pushes with at `speed`.
  std::array<double, kPushes> pushes(const FaultAt& fault, double speed) const;
  // Weighted r.m.s. at `hz` that half of the people just feel at each place, at `speed`; 0 where
  // nobody is asked.
  std::array<double, kFeltPlaces> just_felt(double hz, double speed) const;

  const PhysicsBook& book() const { return *book_; }
  const PhysicsBody& body() const { return *body_; }

 private:
  // Squared amplitudes of acceleration by place; the paths of one place add as squares.
  std::array<double, kFeltPlaces> arrives(const std::array<double, kPushes>& pushes, double hz,
                                          bool front) const;

  const PhysicsBook* book_;
  const PhysicsBody* body_;
  QuarterCar car_;
};

}  // namespace perrev
