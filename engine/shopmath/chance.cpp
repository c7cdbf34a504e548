#include "engine/shopmath/chance.h"

#include <algorithm>
#include <boost/math/distributions/fisher_f.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace perrev {
namespace {

// -2 ln 0.05, exactly: chi-squared with two degrees of freedom is an exponential distribution.
const double kChiSquaredOfTwo = -2.0 * std::log(0.05);

// How near another reading has to come to be a rival for the end.
double nearness(const Scatter& scatter) { return 1.5 * std::sqrt(2.0) * scatter.half_width(); }

double count_within(const std::vector<double>& readings, double low, double high) {
  double out = 0.0;
  for (const double reading : readings) out += low <= reading && reading <= high;
  return out;
}

}  // namespace

Vector direction_of(Vector of) {
  const double size = std::abs(of);
  return size > 0.0 ? of / size : Vector(1.0, 0.0);
}

double half_width_outside(const Scatter& scatter, double outside) {
  const double share = outside / 2.0;
  using boost::math::complement, boost::math::quantile;
  if (!scatter.freedom) return scatter.sd * quantile(complement(boost::math::normal(), share));
  return scatter.sd * quantile(complement(boost::math::students_t(*scatter.freedom), share));
}

Interval spread_of(const std::vector<double>& readings, const Scatter& scatter) {
  const double low = *std::min_element(readings.begin(), readings.end());
  const double high = *std::max_element(readings.begin(), readings.end());
  const double near = nearness(scatter), pair = std::sqrt(2.0), spread = high - low;
  const double rivals =
      count_within(readings, low, low + near) * count_within(readings, high - near, high);
  return {spread, std::max(0.0, spread - pair * half_width_outside(scatter, 0.05 / rivals)),
          spread + pair * scatter.half_width()};
}

Interval lowest_of(const std::vector<double>& readings, const Scatter& scatter) {
  const double low = *std::min_element(readings.begin(), readings.end());
  const double rivals = count_within(readings, low, low + nearness(scatter));
  return {low, low - scatter.half_width(), low + half_width_outside(scatter, 0.05 / rivals)};
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

}  // namespace perrev
