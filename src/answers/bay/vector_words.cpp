#include "src/answers/bay/vector_words.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"

namespace perrev {

std::string whole_degrees(double angle) {
  return std::to_string(std::lround(std::abs(angle) * 360.0 / kTurn)) + " deg";
}

std::string told_where(const VectorEstimate& of) {
  const double half = of.angle_half_width();
  if (half >= std::numbers::pi) return "too small to tell where";
  return told_place(angle_of(of.value)) + ", give or take " + whole_degrees(half);
}

void add_vector(const std::string& id, const std::string& label, const VectorEstimate& of,
                Dimension dimension, BayResult& out) {
  const Interval amount = of.amount();
  out.numbers.push_back({id, label, dimension, amount.value, amount});
  const double half = of.angle_half_width(), at = angle_of(of.value);
  if (half < std::numbers::pi)
    out.numbers.push_back({id + "_place", label + ": place", Dimension::angle, at,
                           Interval{at, at - half, at + half}});
}

DialArrow vector_arrow(const std::string& name, const VectorEstimate& of, Dimension dimension,
                       Units units) {
  const Interval x = of.x(), y = of.y();
  DialArrow out;
  out.name = name;
  out.amount = in_usual_unit(std::abs(of.value), dimension, units);
  out.angle = angle_of(of.value);
  out.note = told(std::abs(of.value), dimension, units) + " " + told_place(out.angle);
  out.half_width = in_usual_unit(std::max(x.high - x.value, y.high - y.value), dimension, units);
  return out;
}

}  // namespace perrev
