#include "src/answers/bay/turned_words.h"

#include <cmath>

#include "engine/quantity/angle.h"
#include "src/answers/bay/vector_words.h"

namespace perrev {

namespace {

constexpr double kHalfDegree = 0.5 * kDegree;

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
  return whole_degrees(turn) + (turn < 0.0 ? " counter-clockwise" : " clockwise") +
         " (what stands at 12 o'clock comes to " + clock_of(turn) + ")";
}

std::string told_times(double turn) {
  return show_number(std::round(20.0 * std::abs(std::sin(0.5 * turn))) / 10.0);
}

}  // namespace perrev
