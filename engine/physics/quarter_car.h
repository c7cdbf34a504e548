// One corner of a vehicle: body and wheel, spring, damper and tire.
//
//     body   m_s z_s'' = -c (z_s' - z_u') - k_s (z_s - z_u)
//     wheel  m_u z_u'' =  c (z_s' - z_u') + k_s (z_s - z_u) - k_t (z_u - y) + F
//
// y is the height of the road, F an upright force on the wheel. What a tire does out of round by e
// is y = e; a force variation at fixed radius is k_t y. Sayers' golden car (ASTM E1926, World Bank
// Technical Paper 46) is one set of its parameters.
#pragma once

#include <array>
#include <complex>
#include <vector>

#include "engine/physics/physics_book.h"

namespace perrev {

struct QuarterCar {
  double sprung = 0.0, unsprung = 0.0;  // kg
  double spring = 0.0, tire = 0.0;      // N/m
  double damper = 0.0;                  // N s/m
};

QuarterCar quarter_car_of(const PhysicsBody& body);
// K1 = 653 s-2, K2 = 63.3 s-2, C = 6.0 s-1, mu = 0.15, for a body of `sprung` kg.
QuarterCar golden_car(double sprung = 250.0);

struct NaturalFrequencies {
  double body_hz = 0.0, wheel_hop_hz = 0.0;  // undamped
};
NaturalFrequencies natural_frequencies(const QuarterCar& car);

// Acceleration of the body, m/s2 per N upright at the wheel, at `hz` above 0.
std::complex<double> body_per_force(const QuarterCar& car, double hz);
// Acceleration of the body per acceleration of the road.
std::complex<double> body_per_road(const QuarterCar& car, double hz);

// z_s, z_s', z_u, z_u' in m and m/s.
using CarState = std::array<double, 4>;

// Exact over steps of `step` s: y goes in a straight line over a step, F too (matrix exponential).
class CarMotion {
 public:
  CarMotion(const QuarterCar& car, double step);
  // From `state` at the begin of a step to its end.
  CarState advance(const CarState& state, double road_before, double road_after,
                   double force_before, double force_after) const;
  // Of the body, m/s2.
  double body_acceleration(const CarState& state) const;
  // State matrix over one step and its response to a unit step of the road, of the golden car as
  // E1926 prints them.
  const std::array<std::array<double, 4>, 4>& transition() const { return transition_; }

 private:
  QuarterCar car_;
  std::array<std::array<double, 4>, 4> transition_;
  CarState road_before_, road_after_, force_before_, force_after_;
};

}  // namespace perrev
