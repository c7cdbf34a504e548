// Universal (Hooke's) joints: how an angle makes speed and torque fluctuate twice a turn.
//
//     w2 / w1 = cos b / (1 - sin2 b cos2 t)
// exact, with b the joint's angle and t the turn of the driving fork from the plane of the angle.
// Angles in rad. Source: any textbook of kinematics; check values in the tests.
#pragma once

#include <complex>
#include <vector>

namespace perrev {

double hooke_speed_ratio(double angle, double turn);
// The driven side's turn for the driving side's, and how far it leads.
double hooke_driven_turn(double angle, double turn);
// Highest less lowest speed ratio: sin b tan b.
double hooke_fluctuation(double angle);
// Highest angular acceleration of the driven side at a steady `speed` (rad/s) of the other, rad/s2.
double hooke_peak_acceleration(double angle, double speed);
// Amplitude of the n-th harmonic of the speed ratio (0: its mean): 2 tan^n (b / 2), nothing where n
// is odd.
double hooke_harmonic(double angle, int harmonic);
// One angle of a joint seen from the side and from above.
double compound_angle(double side, double above);

// Joints in a row: `phase` is how far the driving fork of a joint is turned from the driven fork
// of the one before plus the turn between the planes of the two angles; forks in line in one plane:
// 0, forks a quarter turn out: pi/2. The first joint's counts for nothing.
struct HookeJoint {
  double angle = 0.0;
  double phase = 0.0;
};
// The sum of +-b2 e^(2 i phase), rad2: what all of them leave over, as a vector that turns twice.
std::complex<double> equivalent_square(const std::vector<HookeJoint>& joints);
// The single angle that fluctuates as much as all of them: |equivalent_square| ^ 1/2.
double equivalent_angle(const std::vector<HookeJoint>& joints);
// Exact: how far the last driven side leads the first driving side at `turn` of the latter.
double driven_lead(const std::vector<HookeJoint>& joints, double turn);

}  // namespace perrev
