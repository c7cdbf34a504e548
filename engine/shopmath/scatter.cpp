#include "engine/shopmath/scatter.h"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

namespace perrev {

namespace {

constexpr double kNormalQuantile = 1.959963984540054;  // of 0.975

}  // namespace

double Gauge::sd() const { return std::hypot(resolution / std::sqrt(12.0), repeatability); }

double Scatter::half_width() const {
  if (!freedom) return kNormalQuantile * sd;
  return sd * boost::math::quantile(boost::math::students_t(*freedom), 0.975);
}

double half_width_outside(const Scatter& scatter, double outside) {
  const double share = outside / 2.0;
  using boost::math::complement, boost::math::quantile;
  if (!scatter.freedom) return scatter.sd * quantile(complement(boost::math::normal(), share));
  return scatter.sd * quantile(complement(boost::math::students_t(*scatter.freedom), share));
}

Scatter scatter_of_sum(const Scatter& one, const Scatter& other) {
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

Standing standing(const Interval& of, double limit) {
  if (of.high <= limit) return Standing::within;
  return of.low > limit ? Standing::beyond : Standing::unsettled;
}

}  // namespace perrev
