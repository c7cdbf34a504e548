#include "src/answers/bay/turned_words.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/quantity/angle.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr double kHalfDegree = 0.5 * kDegree;

std::string degrees_turned(double angle) {
  return std::to_string(std::lround(std::abs(angle) * 360.0 / kTurn)) + " deg";
}

// "10:30 o'clock" out of "at 315 deg (10:30 o'clock)".
std::string clock_of(double angle) {
  const std::string place = told_place(angle);
  const std::size_t open = place.find('(');
  return place.substr(open + 1, place.size() - open - 2);
}

}  // namespace

BayField turned_rows(std::string_view id, std::string_view label, std::string_view help,
                     Dimension dimension, double most) {
  return rows_field(
      id, label, help,
      {{"amount", "Amount", dimension, 0.0, most},
       place_column("at", "Place"),
       {"turned", "Turned from the first, clockwise", Dimension::angle, -kTurn, kTurn}},
      2, 12, false);
}

Result<std::vector<TurnedReading>, Problems> read_turned(const BayInput& input,
                                                         std::string_view field) {
  std::vector<TurnedReading> out;
  for (const BayInput::Row& row : input.rows(field)) {
    const double turn = *row[2];
    const std::string here = std::string(field) + "/" + std::to_string(out.size()) + "/2";
    if (out.empty() && std::abs(turn) > kHalfDegree)
      return field_problem(
          here, problem("the first row is turned; turns count from it", "0 deg in the first row"));
    if (std::abs(turn) >= kTurn - kHalfDegree)
      return field_problem(here, problem("this is a whole turn", "less than 360 deg"));
    out.push_back({turn, vector_at(*row[0], *row[1])});
  }
  return out;
}

std::string told_turned(double turn) {
  if (std::abs(turn) < kHalfDegree) return "not at all";
  return degrees_turned(turn) + (turn < 0.0 ? " counter-clockwise" : " clockwise") +
         " (what stands at 12 o'clock comes to " + clock_of(turn) + ")";
}

std::string told_where(const VectorEstimate& of) {
  const double half = of.angle_half_width();
  if (half >= std::numbers::pi) return "too small to tell where";
  return told_place(angle_of(of.value)) + ", give or take " + degrees_turned(half);
}

std::string told_times(double turn) {
  return show_number(std::round(20.0 * std::abs(std::sin(0.5 * turn))) / 10.0);
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
