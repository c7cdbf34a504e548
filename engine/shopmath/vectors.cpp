#include "engine/shopmath/vectors.h"

#include <algorithm>
#include <boost/math/distributions/fisher_f.hpp>
#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"

namespace perrev {

namespace {

// -2 ln 0.05, exactly: chi-squared with two degrees of freedom is an exponential distribution.
const double kChiSquaredOfTwo = -2.0 * std::log(0.05);

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

Vector direction_of(Vector of) {
  const double size = std::abs(of);
  return size > 0.0 ? of / size : Vector(1.0, 0.0);
}

Interval VectorEstimate::x() const {
  return about(value.real(), scatter.half_width() * std::sqrt(xx));
}

Interval VectorEstimate::y() const {
  return about(value.imag(), scatter.half_width() * std::sqrt(yy));
}

Interval VectorEstimate::amount() const {
  const double size = std::abs(value);
  const double half = half_along(*this, direction_of(value));
  return {size, std::max(0.0, size - half), size + half};
}

double VectorEstimate::angle_half_width() const {
  const double size = std::abs(value);
  if (size <= 0.0) return std::numbers::pi;
  const Vector along = direction_of(value);
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
  out.scatter = {1.0, scatter_of_sum(whole(one), whole(other)).freedom};
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

std::vector<VectorEstimate> pooled(std::vector<VectorEstimate> of) {
  double freedom = 0.0, squares = 0.0;
  for (const VectorEstimate& one : of) {
    if (!one.scatter.freedom) continue;
    freedom += *one.scatter.freedom;
    squares += *one.scatter.freedom * one.scatter.sd * one.scatter.sd;
  }
  for (VectorEstimate& one : of)
    if (one.scatter.freedom) one.scatter = {std::sqrt(squares / freedom), freedom};
  return of;
}

VectorEstimate blend(const std::vector<VectorEstimate>& of, const std::vector<Vector>& by) {
  std::vector<VectorEstimate> sums;  // one for each scatter
  for (std::size_t i = 0; i < of.size(); ++i) {
    if (by[i] == Vector()) continue;
    const VectorEstimate part = times(of[i], by[i]);
    const auto same = std::find_if(sums.begin(), sums.end(), [&](const VectorEstimate& sum) {
      return sum.scatter.sd == part.scatter.sd && sum.scatter.freedom == part.scatter.freedom;
    });
    if (same == sums.end()) {
      sums.push_back(part);
      continue;
    }
    same->value += part.value;
    same->xx += part.xx;
    same->xy += part.xy;
    same->yy += part.yy;
  }
  if (sums.empty()) return {};
  VectorEstimate out = sums.front();
  for (std::size_t i = 1; i < sums.size(); ++i) out = difference(out, times(sums[i], -1.0));
  return out;
}

Interval amount_apart(const std::vector<VectorEstimate>& of, const std::vector<Vector>& one,
                      const std::vector<Vector>& other) {
  Vector sum_one, sum_other;
  for (std::size_t i = 0; i < of.size(); ++i) {
    sum_one += one[i] * of[i].value;
    sum_other += other[i] * of[i].value;
  }
  // |one| - |other| moves by Re(conj(slope_i) d_i) where of[i] moves by d_i: the real component of
  // d_i turned by conj(slope_i).
  std::vector<Vector> slopes;
  for (std::size_t i = 0; i < of.size(); ++i)
    slopes.push_back(std::conj(direction_of(sum_one)) * one[i] -
                     std::conj(direction_of(sum_other)) * other[i]);
  const Interval moved = blend(of, slopes).x();
  const double apart = std::abs(sum_one) - std::abs(sum_other);
  return {apart, apart + moved.low - moved.value, apart + moved.high - moved.value};
}

bool stands_out(const VectorEstimate& of) {
  const double x = of.value.real(), y = of.value.imag();
  const double variance = of.scatter.sd * of.scatter.sd;
  const double spread = of.xx * of.yy - of.xy * of.xy;
  if (variance <= 0.0 || spread <= 0.0)
    return std::abs(of.value) > of.amount().value - of.amount().low;
  const double squared =
      (x * x * of.yy - 2.0 * x * y * of.xy + y * y * of.xx) / (spread * variance);
  if (!of.scatter.freedom) return squared > kChiSquaredOfTwo;
  const boost::math::fisher_f expected(2.0, *of.scatter.freedom);
  return squared > 2.0 * boost::math::quantile(boost::math::complement(expected, 0.05));
}

}  // namespace perrev
