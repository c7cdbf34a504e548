#include "engine/physics/hooke.h"

#include <cmath>

#include "engine/quantity/angle.h"

namespace perrev {
namespace {

double lead(double angle, double turn) {
  const double squeeze = std::cos(angle), across = std::sin(turn), along = std::cos(turn);
  return std::atan2((1.0 - squeeze) * across * along, squeeze * along * along + across * across);
}

}  // namespace

double hooke_speed_ratio(double angle, double turn) {
  const double tilt = std::sin(angle) * std::cos(turn);
  return std::cos(angle) / (1.0 - tilt * tilt);
}

double hooke_driven_turn(double angle, double turn) { return turn + lead(angle, turn); }

double hooke_fluctuation(double angle) { return std::sin(angle) * std::tan(angle); }

double hooke_peak_acceleration(double angle, double speed) {
  // w^2 cos b sin2 b sin 2t / (1 - sin2 b cos2 t)^2 is largest where x = cos 2t solves
  // B x^2 + A x - 2 B = 0.
  const double sine = std::sin(angle);
  const double b = 0.5 * sine * sine, a = 1.0 - b;
  const double x = 4.0 * b / (a + std::sqrt(a * a + 8.0 * b * b));
  const double below = a - b * x;
  return speed * speed * std::cos(angle) * sine * sine * std::sqrt(1.0 - x * x) / (below * below);
}

double hooke_harmonic(double angle, int harmonic) {
  if (harmonic == 0) return 1.0;
  return harmonic % 2 == 0 ? 2.0 * std::pow(std::tan(0.5 * std::abs(angle)), harmonic) : 0.0;
}

double compound_angle(double side, double above) {
  return std::atan(std::hypot(std::tan(side), std::tan(above)));
}

std::complex<double> equivalent_square(const std::vector<HookeJoint>& joints) {
  std::complex<double> sum = 0.0;
  double phase = 0.0;
  for (std::size_t i = 0; i < joints.size(); ++i) {
    // A driven fork stands a quarter turn from the driving fork: what the next joint does is
    // turned round.
    if (i > 0) phase += joints[i].phase + 0.25 * kTurn;
    sum += std::polar(joints[i].angle * joints[i].angle, 2.0 * phase);
  }
  return sum;
}

double equivalent_angle(const std::vector<HookeJoint>& joints) {
  return std::sqrt(std::abs(equivalent_square(joints)));
}

double driven_lead(const std::vector<HookeJoint>& joints, double turn) {
  double ahead = 0.0;
  for (std::size_t i = 0; i < joints.size(); ++i) {
    if (i > 0) turn += joints[i].phase + 0.25 * kTurn;
    ahead += lead(joints[i].angle, turn + ahead);
  }
  return ahead;
}

}  // namespace perrev
