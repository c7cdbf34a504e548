#include "engine/shopmath/two_planes.h"

#include <cmath>

#include "engine/shopmath/repeated_readings.h"

namespace perrev {

namespace {

constexpr double kLeastRadius = 0.015, kLargestRadius = 1.0;
constexpr double kLeastDistance = 0.01;

Result<double> distance_of(double one, double other) {
  const double apart = other - one;
  if (!(std::abs(apart) >= kLeastDistance))
    return problem("the two planes are at one place along the axis",
                   "planes at least 10 mm apart; couple cannot be told from one plane");
  return apart;
}

std::optional<Problem> mass_problem(double mass) {
  if (mass >= 0.0) return std::nullopt;
  return problem("a mass is negative", "an amount of zero or more, with the place it was read at");
}

}  // namespace

Result<double> weight_radius(double radius) {
  if (radius >= kLeastRadius && radius <= kLargestRadius) return radius;
  return problem("no weight sits at this radius",
                 "the distance from the axis to the weight, 15 mm to 1 m; half a diameter");
}

Result<VectorEstimate> moment_of(const MassReading& reading, double radius, const Gauge& gauge) {
  if (const auto wrong = mass_problem(reading.mass)) return *wrong;
  const auto arm = weight_radius(radius);
  if (!arm.ok()) return arm.error();
  const double sd = gauge.sd();
  VectorEstimate out;
  out.value = reading.mass;
  out.xx = out.yy = sd * sd;
  out.scatter = {1.0, std::nullopt};
  return times(out, vector_at(radius, reading.angle));
}

Result<VectorEstimate> moment_of(const std::vector<MassReading>& spins, double radius) {
  const auto arm = weight_radius(radius);
  if (!arm.ok()) return arm.error();
  std::vector<Vector> moments;
  for (const MassReading& spin : spins) {
    if (const auto wrong = mass_problem(spin.mass)) return *wrong;
    moments.push_back(vector_at(spin.mass * radius, spin.angle));
  }
  return mean_of_vectors(moments);
}

Result<Unbalance> Unbalance::in_planes(const VectorEstimate& one, double at,
                                       const VectorEstimate& other, double other_at) {
  const auto apart = distance_of(at, other_at);
  if (!apart.ok()) return apart.error();
  Unbalance out;
  out.first_ = one;
  out.second_ = other;
  out.static_ = {1.0, 1.0};
  out.couple_ = {at, other_at};
  return out;
}

Unbalance Unbalance::static_and_couple(const VectorEstimate& static_part,
                                       const VectorEstimate& couple, double about) {
  Unbalance out;
  out.first_ = static_part;
  out.second_ = couple;
  out.static_ = {1.0, 0.0};
  out.couple_ = {about, 1.0};
  return out;
}

VectorEstimate Unbalance::sum(const Sum& of) const {
  return difference(times(first_, of.first), times(second_, -of.second));
}

VectorEstimate Unbalance::static_part() const {
  VectorEstimate out = sum(static_);
  out.value += added_static_;
  return out;
}

VectorEstimate Unbalance::couple(double about) const {
  VectorEstimate out =
      sum({couple_.first - about * static_.first, couple_.second - about * static_.second});
  out.value += added_couple_ - about * added_static_;
  return out;
}

Result<std::pair<VectorEstimate, VectorEstimate>> Unbalance::moments_at(double first,
                                                                        double second) const {
  const auto apart = distance_of(first, second);
  if (!apart.ok()) return apart.error();
  return std::pair{times(couple(second), -1.0 / *apart), times(couple(first), 1.0 / *apart)};
}

Unbalance Unbalance::with(Vector moment, double position) const {
  Unbalance out = *this;
  out.added_static_ += moment;
  out.added_couple_ += moment * position;
  return out;
}

}  // namespace perrev
