#include "engine/shopmath/vectors.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"

namespace perrev {

namespace {

constexpr double kNormalQuantile = 1.959963984540054;  // of 0.975

Interval about(double value, double half) { return {value, value - half, value + half}; }

// Variance of the component along `direction`.
double variance_along(const VectorEstimate& of, Vector direction) {
  const double c = direction.real(), s = direction.imag();
  return c * c * of.xx + 2.0 * c * s * of.xy + s * s * of.yy;
}

// The component along the vector, and the one across it: half of their 95 % intervals.
double half_along(const VectorEstimate& of, Vector direction) {
  return of.scatter.half_width() * std::sqrt(std::max(0.0, variance_along(of, direction)));
}

}  // namespace

Vector vector_at(double amount, double angle) { return std::polar(amount, angle); }

double angle_of(Vector of) {
  const double angle = std::arg(of);
  return angle < 0.0 ? angle + kTurn : angle;
}

double Gauge::sd() const { return std::hypot(resolution / std::sqrt(12.0), repeatability); }

double Scatter::half_width() const {
  if (!freedom) return kNormalQuantile * sd;
  return sd * boost::math::quantile(boost::math::students_t(*freedom), 0.975);
}

Scatter together(const Scatter& one, const Scatter& other) {
  Scatter out{std::hypot(one.sd, other.sd), std::nullopt};
  double weighted = 0.0;
  for (const Scatter* part : {&one, &other})
    if (part->freedom) weighted += std::pow(part->sd, 4) / *part->freedom;
  if (weighted > 0.0) out.freedom = std::max(1.0, std::pow(out.sd, 4) / weighted);
  return out;
}

Interval interval_about(double value, const Scatter& scatter) {
  const double half = scatter.half_width();
  return {value, value - half, value + half};
}

Interval VectorEstimate::x() const {
  return about(value.real(), scatter.half_width() * std::sqrt(xx));
}

Interval VectorEstimate::y() const {
  return about(value.imag(), scatter.half_width() * std::sqrt(yy));
}

Interval VectorEstimate::amount() const {
  const double size = std::abs(value);
  const Vector along = size > 0.0 ? value / size : Vector(1.0, 0.0);
  const double half = half_along(*this, along);
  return {size, std::max(0.0, size - half), size + half};
}

double VectorEstimate::angle_half_width() const {
  const double size = std::abs(value);
  if (size <= 0.0) return std::numbers::pi;
  const Vector along = value / size;
  const double across = half_along(*this, Vector(-along.imag(), along.real()));
  return across < size ? std::asin(across / size) : std::numbers::pi;
}

VectorEstimate difference(const VectorEstimate& one, const VectorEstimate& other) {
  VectorEstimate out;
  const double a = one.scatter.sd * one.scatter.sd, b = other.scatter.sd * other.scatter.sd;
  out.value = one.value - other.value;
  out.xx = a * one.xx + b * other.xx;
  out.xy = a * one.xy + b * other.xy;
  out.yy = a * one.yy + b * other.yy;
  // The freedom of both components together.
  const auto whole = [](const VectorEstimate& part) {
    return Scatter{part.scatter.sd * std::sqrt(part.xx + part.yy), part.scatter.freedom};
  };
  out.scatter = {1.0, together(whole(one), whole(other)).freedom};
  return out;
}

VectorEstimate times(const VectorEstimate& of, Vector by) {
  VectorEstimate out = of;
  const double c = by.real(), s = by.imag();
  out.value = of.value * by;
  out.xx = c * c * of.xx - 2.0 * c * s * of.xy + s * s * of.yy;
  out.yy = s * s * of.xx + 2.0 * c * s * of.xy + c * c * of.yy;
  out.xy = c * s * (of.xx - of.yy) + (c * c - s * s) * of.xy;
  return out;
}

}  // namespace perrev
