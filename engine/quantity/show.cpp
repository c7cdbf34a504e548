// SI to text: which unit a dimension is shown in, and the names of dimensions.
#include <array>
#include <cmath>
#include <cstddef>

#include "engine/quantity/quantity.h"
#include "engine/quantity/units.h"

namespace perrev {

namespace {

struct Shown {
  Dimension dimension;
  std::string_view name;
  std::string_view us, metric;
};

// In the order of the enumeration.
constexpr std::array kShown = {
    Shown{Dimension::count, "count", "", ""},
    Shown{Dimension::ratio, "ratio", "", ""},
    Shown{Dimension::speed, "speed", "mph", "km/h"},
    Shown{Dimension::length, "length", "in", "mm"},
    Shown{Dimension::frequency, "frequency", "Hz", "Hz"},
    Shown{Dimension::mass, "mass", "oz", "g"},
    Shown{Dimension::force, "force", "lb", "N"},
    Shown{Dimension::pressure, "pressure", "psi", "kPa"},
    Shown{Dimension::time, "time", "s", "s"},
    Shown{Dimension::angle, "angle", "deg", "deg"},
    Shown{Dimension::temperature_difference, "temperature_difference", "°F", "K"},
    Shown{Dimension::moment, "moment", "oz in", "g mm"},
    Shown{Dimension::torque, "torque", "lb ft", "N m"},
};

// From this size on (SI) a larger unit reads better than five digits of the usual one.
struct Larger {
  Dimension dimension;
  double from;
  std::string_view us, metric;
};

// Largest first.
constexpr std::array kLarger = {
    Larger{Dimension::length, 1000.0, "mi", "km"}, Larger{Dimension::length, 10.0, "ft", "m"},
    Larger{Dimension::mass, 1.0, "lb", "kg"},      Larger{Dimension::time, 7200.0, "h", "h"},
    Larger{Dimension::time, 120.0, "min", "min"},
};

const Shown& shown(Dimension dimension) { return kShown[static_cast<std::size_t>(dimension)]; }

std::string_view fitting_unit(double si, Dimension dimension, Units units) {
  for (const Larger& larger : kLarger) {
    if (larger.dimension == dimension && std::fabs(si) >= larger.from) {
      return units == Units::us ? larger.us : larger.metric;
    }
  }
  return usual_unit(dimension, units);
}

}  // namespace

std::optional<Dimension> dimension_named(std::string_view name) {
  for (const Shown& each : kShown) {
    if (each.name == name) return each.dimension;
  }
  return std::nullopt;
}

std::string_view name_of(Dimension dimension) { return shown(dimension).name; }

std::vector<std::string> dimension_names() {
  std::vector<std::string> out;
  out.reserve(kShown.size());
  for (const Shown& each : kShown) out.emplace_back(each.name);
  return out;
}

std::string_view usual_unit(Dimension dimension, Units units) {
  return units == Units::us ? shown(dimension).us : shown(dimension).metric;
}

double in_usual_unit(double si, Dimension dimension, Units units) {
  return si / find_unit(usual_unit(dimension, units), dimension)->size;
}

std::string show(double si, Dimension dimension, Units units) {
  const std::string_view unit = fitting_unit(si, dimension, units);
  const std::string number = show_number(si / find_unit(unit, dimension)->size);
  return unit.empty() ? number : number + " " + std::string(unit);
}

namespace {

double three_digits(double value) {
  if (value == 0.0) return value;
  const double step = std::pow(10.0, std::floor(std::log10(std::abs(value))) - 2.0);
  return std::round(value / step) * step;
}

}  // namespace

std::string show_rounded(double si, Dimension dimension, Units units) {
  if (si == 0.0) return show(si, dimension, units);
  const double shown = in_usual_unit(si, dimension, units);
  return show(si * (three_digits(shown) / shown), dimension, units);
}

std::string show_in(double si, Dimension dimension, std::string_view unit) {
  return show_number(three_digits(si / find_unit(unit, dimension)->size)) + " " + std::string(unit);
}

}  // namespace perrev
