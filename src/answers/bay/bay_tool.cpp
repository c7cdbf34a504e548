#include "src/answers/bay/bay_tool.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/casefile/vehicle_of.h"
#include "engine/quantity/angle.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

// No finer step than this for three digits of any size.
constexpr double kThreeDigits = std::numeric_limits<double>::infinity();

// The least that is worth telling in the usual unit, what a good gauge of the bay shows; 0: any.
double least_told(Dimension dimension, Units units) {
  const bool us = units == Units::us;
  switch (dimension) {
    case Dimension::length:
      return us ? 1e-4 : 1e-3;
    case Dimension::mass:
      return us ? 1e-3 : 1e-2;
    case Dimension::force:
    case Dimension::angle:
    case Dimension::ratio:  // in %
      return 1e-2;
    default:
      return 0.0;
  }
}

double power_of_ten_below(double value) { return std::pow(10.0, std::floor(std::log10(value))); }

// How a kind of quantity is shown.
struct ShownUnit {
  double size = 1.0;   // what 1 SI is in the unit
  double least = 0.0;  // that is worth telling, in the unit; 0: any
  std::string unit;    // empty: by `show`, which takes a larger one for large sizes
  Dimension dimension = Dimension::count;
  Units units = Units::metric;

  std::string text(double in_unit) const {
    if (!unit.empty()) return show(in_unit, Dimension::count, units) + " " + unit;
    return show(in_unit / size, dimension, units);
  }
};

ShownUnit shown_as(Dimension dimension, Units units) {
  ShownUnit out{
      in_usual_unit(1.0, dimension, units), least_told(dimension, units), {}, dimension, units};
  if (dimension != Dimension::ratio) return out;
  out.size = 100.0;  // a share reads better as a percentage
  out.unit = "%";
  return out;
}

constexpr double kTurnsPerMinute = 60.0;  // in one a second

double rounded_to(double shown, double step) { return std::round(shown / step) * step; }

// Three digits, or more where `step` is finer; never finer than is worth telling.
std::string told_to(double value, const ShownUnit& as, double step) {
  const double shown = value * as.size;
  if (shown == 0.0 || !std::isfinite(shown)) return as.text(shown);
  step = std::fmin(step, 0.01 * power_of_ten_below(std::fabs(shown)));
  return as.text(rounded_to(shown, std::fmax(step, as.least)));
}

std::string told_between(const Interval& interval, const ShownUnit& as) {
  const double half = 0.5 * std::fabs(interval.high - interval.low) * as.size;
  const double step = half > 0.0 ? power_of_ten_below(half / 3.0) : kThreeDigits;
  return told_to(interval.value, as, step) + " (" + told_to(interval.low, as, step) + " to " +
         told_to(interval.high, as, step) + ")";
}

}  // namespace

BayColumn place_column(std::string_view id, std::string_view label, bool required) {
  return {id, label, Dimension::angle, 0.0, kTurn, required, true};
}

BayColumn whole_column(std::string_view id, std::string_view label, double low, double high,
                       bool required) {
  return {id, label, Dimension::count, low, high, required, false, true};
}

BayField quantity_field(const BayColumn& column, std::string_view help, bool required,
                        std::string_view usual) {
  BayField out;
  out.kind = BayField::Kind::quantity;
  out.id = column.id;
  out.label = column.label;
  out.help = help;
  out.required = required;
  out.columns = {column};
  out.usual = usual;
  return out;
}

BayField choice_field(std::string_view id, std::string_view label, std::string_view help,
                      std::vector<BayChoice> choices, std::string_view usual) {
  BayField out;
  out.kind = BayField::Kind::choice;
  out.id = id;
  out.label = label;
  out.help = help;
  out.choices = std::move(choices);
  out.usual = usual;
  return out;
}

BayField rows_field(std::string_view id, std::string_view label, std::string_view help,
                    std::vector<BayColumn> columns, std::size_t fewest, std::size_t most,
                    bool required) {
  BayField out;
  out.kind = BayField::Kind::rows;
  out.id = id;
  out.label = label;
  out.help = help;
  out.required = required;
  out.columns = std::move(columns);
  out.fewest = fewest;
  out.most = most;
  return out;
}

std::optional<double> BayInput::number(std::string_view field) const {
  const std::vector<Row>& found = rows(field);
  return found.empty() ? std::nullopt : found.front().front();
}

std::string BayInput::choice(std::string_view field) const {
  const auto found = choices.find(field);
  return found == choices.end() ? std::string() : found->second;
}

const std::vector<BayInput::Row>& BayInput::rows(std::string_view field) const {
  static const std::vector<Row> none;
  const auto found = values.find(field);
  return found == values.end() ? none : found->second;
}

std::vector<double> BayInput::column(std::string_view field, std::size_t column) const {
  std::vector<double> out;
  for (const Row& row : rows(field))
    if (row[column]) out.push_back(*row[column]);
  return out;
}

std::optional<BayLimit> BayContext::limit(std::string_view fact) const {
  const int index = base.fact_index(fact);
  if (index < 0 || base.facts[static_cast<std::size_t>(index)].limit < 0) return std::nullopt;
  const Limit& of =
      base.limits[static_cast<std::size_t>(base.facts[static_cast<std::size_t>(index)].limit)];
  const std::vector<const LimitClass*> rows =
      limit_rows(base, of, facts ? facts->vehicle : Answers());
  const LimitClass* found = rows.size() == 1 ? rows.front() : nullptr;
  for (const LimitClass* row : rows)
    if (!found && row->id == limit_class) found = row;
  if (!found) return std::nullopt;
  return BayLimit{found->id, found->origin, found->good, found->bad};
}

std::string BayContext::known(std::string_view fact) const {
  return facts ? answer_known(base, facts->now(), fact) : std::string();
}

const BayTool* bay_tool(std::string_view id) {
  for (const BayTool& tool : bay_tools())
    if (tool.id == id) return &tool;
  return nullptr;
}

Problems field_problem(std::string_view field, Problem problem) {
  problem.place.pointer = "/given/" + std::string(field);
  return {std::move(problem)};
}

std::string told(double value, Dimension dimension, Units units) {
  return told_to(value, shown_as(dimension, units), kThreeDigits);
}

std::string told(const Interval& interval, Dimension dimension, Units units) {
  return told_between(interval, shown_as(dimension, units));
}

std::string told(const BayNumber& number, Units units) {
  ShownUnit as = shown_as(number.dimension, units);
  if (number.turning) {
    as.size = kTurnsPerMinute;
    as.unit = "rpm";
  }
  return number.interval ? told_between(*number.interval, as)
                         : told_to(number.value, as, kThreeDigits);
}

std::string told_limit(double value, Dimension dimension, Units units) {
  // Relative: what changing units and back leaves over, and what no limit is meant to.
  constexpr double kAsItWasSet = 1e-6, kMeantTo = 0.02;
  const ShownUnit as = shown_as(dimension, units);
  const double shown = value * as.size;
  if (shown == 0.0 || !std::isfinite(shown)) return as.text(shown);
  const double size = std::fabs(shown), power = power_of_ten_below(size);
  const double three = rounded_to(shown, 0.01 * power);
  if (std::fabs(three - shown) <= kAsItWasSet * size) return as.text(three);
  for (const double step : {power, 0.1 * power})
    if (std::fabs(rounded_to(shown, step) - shown) <= kMeantTo * size)
      return as.text(rounded_to(shown, step));
  return as.text(three);
}

std::string told_place(double angle) {
  const double within = std::fmod(std::fmod(angle, kTurn) + kTurn, kTurn);
  const int degrees = static_cast<int>(std::lround(within * 360.0 / kTurn)) % 360;
  const int halves = static_cast<int>(std::lround(within * 24.0 / kTurn)) % 24;
  const int hour = halves / 2 == 0 ? 12 : halves / 2;
  return "at " + std::to_string(degrees) + " deg (" + std::to_string(hour) +
         (halves % 2 == 0 ? "" : ":30") + " o'clock)";
}

Interval size_of(const Interval& difference) {
  const double low = std::fabs(difference.low), high = std::fabs(difference.high);
  const bool holds_zero = difference.low <= 0.0 && difference.high >= 0.0;
  return {std::fabs(difference.value), holds_zero ? 0.0 : std::min(low, high), std::max(low, high)};
}

}  // namespace perrev
