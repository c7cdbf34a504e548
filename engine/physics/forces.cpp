#include "engine/physics/forces.h"

#include <cmath>

#include "engine/physics/hooke.h"
#include "engine/quantity/angle.h"

namespace perrev {
namespace {

double squared_speed(double hz) { return kTurn * hz * kTurn * hz; }

}  // namespace

double imbalance_force(double unbalance, double hz) { return unbalance * squared_speed(hz); }

double couple_moment(double unbalance, double apart, double hz) {
  return imbalance_force(unbalance, hz) * apart;
}

double force_variation_force(double peak_to_peak) { return 0.5 * peak_to_peak; }

double runout_force(double total_runout, double stiffness) {
  return force_variation_force(total_runout * stiffness);
}

EccentricForce eccentric_force(double offset, double stiffness, double mass, double hz) {
  return {runout_force(2.0 * offset, stiffness), imbalance_force(mass * offset, hz)};
}

double shaft_runout_force(double total_runout, double mass, double hz) {
  constexpr double kMeanOfHalfSine = 4.0 / kTurn;
  return imbalance_force(mass * kMeanOfHalfSine * 0.5 * total_runout, hz);
}

double joint_inertia_torque(double inertia, double angle, double hz) {
  return inertia * 2.0 * squared_speed(hz) * hooke_harmonic(angle, 2);
}

double joint_bending_moment(double torque, double angle) { return torque * std::tan(angle); }

double firing_order(int cylinders) { return 0.5 * cylinders; }

double permissible_unbalance(double grade, double mass, double rpm) {
  return 1e-3 * grade * mass / (kTurn * rpm / 60.0);
}

double critical_speed(double outer, double inner, double length, double youngs, double density) {
  // (pi / 2) sqrt(E I / (rho A)) / L^2, of a tube I / A = (D^2 + d^2) / 16
  return kTurn / 16.0 * std::sqrt(youngs / density) * std::hypot(outer, inner) / (length * length);
}

}  // namespace perrev
