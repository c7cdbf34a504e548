// What a fault pushes with when its part turns: forces in N, amplitudes unless said.
//
// Peak to peak readings (force variation, runout) are halved here and nowhere else.
#pragma once

#include "engine/physics/quarter_car.h"

namespace perrev {

// Unbalance m r in kg m, turning `hz` times a second.
double imbalance_force(double unbalance, double hz);
// Two unbalances, opposite, `apart` m along the axis: N m about an upright axis.
double couple_moment(double unbalance, double apart, double hz);
// Peak to peak force at fixed radius.
double force_variation_force(double peak_to_peak);
// Total indicated runout of a tire of `stiffness` N/m.
double runout_force(double total_runout, double stiffness);
// A wheel of `mass` kg whose axis is off by `offset` m: the tire's part and the mass's part.
struct EccentricForce {
  double tire = 0.0, mass = 0.0;
};
EccentricForce eccentric_force(double offset, double stiffness, double mass, double hz);
// A shaft of `mass` kg that runs out by `total_runout` in its middle (a half sine): both ends
// together.
double shaft_runout_force(double total_runout, double mass, double hz);
// Inertia torque, N m, of `inertia` kg m2 driven through a joint at `angle` rad: twice a turn.
double joint_inertia_torque(double inertia, double angle, double hz);
// What a driven `torque` (N m) bends a shaft with at a joint: T tan b, twice a turn.
double joint_bending_moment(double torque, double angle);

// Cylinders of a four-stroke engine fire cylinders / 2 times a turn.
double firing_order(int cylinders);

// Permissible residual unbalance in kg m of a rotor of `mass` kg and a balance quality `grade`
// (mm/s) at `rpm`: ISO 21940-11.
double permissible_unbalance(double grade, double mass, double rpm);

// First bending critical speed in Hz of a tube on pinned ends; SI. Bernoulli-Euler beam.
double critical_speed(double outer, double inner, double length, double youngs = 206.8e9,
                      double density = 7850.0);

}  // namespace perrev
