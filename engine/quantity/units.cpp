#include "engine/quantity/units.h"

#include <array>

#include "engine/quantity/angle.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr double kInch = 0.0254;
constexpr double kMile = 1609.344;
constexpr double kHour = 3600.0;
constexpr double kPound = 0.45359237;
constexpr double kOunce = kPound / 16.0;
constexpr double kOunceInch = kOunce * kInch;
constexpr double kGravity = 9.80665;
constexpr double kPoundForce = kPound * kGravity;
constexpr double kPoundFoot = kPoundForce * 12.0 * kInch;
constexpr double kPsi = kPoundForce / (kInch * kInch);

using D = Dimension;

// Within a dimension the listed names come first in the order messages show them.
constexpr std::array kUnits = {
    Unit{D::count, "", 1.0, true},
    Unit{D::ratio, "", 1.0, true},
    Unit{D::ratio, "%", 0.01, true},
    Unit{D::ratio, ":1", 1.0, false},
    Unit{D::ratio, ": 1", 1.0, false},
    Unit{D::ratio, "percent", 0.01, false},
    Unit{D::speed, "mph", kMile / kHour, true},
    Unit{D::speed, "km/h", 1000.0 / kHour, true},
    Unit{D::speed, "m/s", 1.0, true},
    Unit{D::speed, "kmh", 1000.0 / kHour, false},
    Unit{D::speed, "kph", 1000.0 / kHour, false},
    Unit{D::speed, "mi/h", kMile / kHour, false},
    Unit{D::length, "mm", 0.001, true},
    Unit{D::length, "in", kInch, true},
    Unit{D::length, "thou", kInch / 1000.0, true},
    Unit{D::length, "cm", 0.01, true},
    Unit{D::length, "m", 1.0, true},
    Unit{D::length, "ft", 12.0 * kInch, true},
    Unit{D::length, "km", 1000.0, true},
    Unit{D::length, "mi", kMile, true},
    Unit{D::length, "\"", kInch, false},
    Unit{D::length, "″", kInch, false},  // double prime
    Unit{D::length, "”", kInch, false},  // what a phone makes of "
    Unit{D::length, "inch", kInch, false},
    Unit{D::length, "inches", kInch, false},
    Unit{D::length, "feet", 12.0 * kInch, false},
    Unit{D::length, "yd", 36.0 * kInch, false},
    Unit{D::length, "mile", kMile, false},
    Unit{D::length, "miles", kMile, false},
    Unit{D::length, "um", 1e-6, false},
    Unit{D::length, "µm", 1e-6, false},  // micro sign
    Unit{D::length, "μm", 1e-6, false},  // Greek mu
    Unit{D::frequency, "Hz", 1.0, true},
    Unit{D::frequency, "rpm", 1.0 / 60.0, true},
    Unit{D::frequency, "1/min", 1.0 / 60.0, true},
    Unit{D::frequency, "1/s", 1.0, true},
    Unit{D::frequency, "r/min", 1.0 / 60.0, false},
    Unit{D::frequency, "kHz", 1000.0, false},
    Unit{D::mass, "g", 0.001, true},
    Unit{D::mass, "kg", 1.0, true},
    Unit{D::mass, "oz", kOunce, true},
    Unit{D::mass, "lb", kPound, true},
    Unit{D::mass, "lbs", kPound, false},
    Unit{D::mass, "t", 1000.0, false},
    Unit{D::force, "N", 1.0, true},
    Unit{D::force, "kN", 1000.0, true},
    Unit{D::force, "lb", kPoundForce, true},
    Unit{D::force, "kgf", kGravity, true},
    Unit{D::force, "lbs", kPoundForce, false},
    Unit{D::force, "lbf", kPoundForce, false},
    Unit{D::pressure, "psi", kPsi, true},
    Unit{D::pressure, "kPa", 1000.0, true},
    Unit{D::pressure, "bar", 1e5, true},
    Unit{D::pressure, "Pa", 1.0, false},
    Unit{D::pressure, "MPa", 1e6, false},
    Unit{D::time, "s", 1.0, true},
    Unit{D::time, "min", 60.0, true},
    Unit{D::time, "h", kHour, true},
    Unit{D::time, "sec", 1.0, false},
    Unit{D::time, "ms", 0.001, false},
    Unit{D::time, "hr", kHour, false},
    Unit{D::angle, "deg", kDegree, true},
    Unit{D::angle, "°", kDegree, true},
    Unit{D::angle, "rad", 1.0, true},
    Unit{D::angle, "degree", kDegree, false},
    Unit{D::angle, "degrees", kDegree, false},
    Unit{D::temperature_difference, "K", 1.0, true},
    Unit{D::temperature_difference, "°C", 1.0, true},
    Unit{D::temperature_difference, "°F", 5.0 / 9.0, true},
    Unit{D::temperature_difference, "degC", 1.0, false},
    Unit{D::temperature_difference, "degF", 5.0 / 9.0, false},
    Unit{D::temperature_difference, "C", 1.0, false},
    Unit{D::temperature_difference, "F", 5.0 / 9.0, false},
    Unit{D::moment, "g mm", 1e-6, true},
    Unit{D::moment, "oz in", kOunceInch, true},
    Unit{D::moment, "g cm", 1e-5, true},
    Unit{D::moment, "kg mm", 1e-3, true},
    Unit{D::moment, "kg m", 1.0, false},
    Unit{D::moment, "in oz", kOunceInch, false},
    Unit{D::torque, "N m", 1.0, true},
    Unit{D::torque, "lb ft", kPoundFoot, true},
    Unit{D::torque, "lb in", kPoundFoot / 12.0, true},
    Unit{D::torque, "Nm", 1.0, false},
    Unit{D::torque, "lbf ft", kPoundFoot, false},
    Unit{D::torque, "ft lb", kPoundFoot, false},
    Unit{D::torque, "ft lbf", kPoundFoot, false},
    Unit{D::torque, "in lb", kPoundFoot / 12.0, false},
};

std::string joined_by_blanks(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size(); ++at) {
    char c = text[at];
    if (c == '*' || c == '-') c = ' ';
    if (text.substr(at, 2) == "\xC2\xB7") {  // middle dot
      c = ' ';
      at += 1;
    } else if (text.substr(at, 3) == "\xE2\x8B\x85") {  // dot operator
      c = ' ';
      at += 2;
    }
    if (c != ' ' || (!out.empty() && out.back() != ' ')) out += c;
  }
  return std::string(trimmed(out));
}

bool same_name(std::string_view name, std::string_view text) {
  if (name == text) return true;
  return name.size() > 1 && name.size() == text.size() && lower_case(name) == lower_case(text);
}

}  // namespace

const Unit* find_unit(std::string_view text, Dimension due) {
  const std::string name =
      due == D::moment || due == D::torque ? joined_by_blanks(text) : std::string(text);
  for (const Unit& unit : kUnits) {
    if (unit.dimension == due && same_name(unit.name, name)) return &unit;
  }
  return nullptr;
}

std::optional<Dimension> dimension_of_unit(std::string_view text) {
  if (text.empty()) return std::nullopt;
  for (const Unit& unit : kUnits) {
    if (find_unit(text, unit.dimension) != nullptr) return unit.dimension;
  }
  return std::nullopt;
}

std::string listed_units(Dimension dimension) {
  std::string out;
  for (const Unit& unit : kUnits) {
    if (unit.dimension != dimension || !unit.listed || unit.name.empty()) continue;
    out += (out.empty() ? "" : ", ") + std::string(unit.name);
  }
  return out;
}

std::vector<std::string> unit_names(Dimension dimension) {
  std::vector<std::string> out;
  for (const Unit& unit : kUnits) {
    if (unit.dimension == dimension && !unit.name.empty()) out.emplace_back(unit.name);
  }
  return out;
}

std::string with_article(Dimension dimension) {
  std::string words(name_of(dimension));
  for (char& c : words) {
    if (c == '_') c = ' ';
  }
  return (dimension == D::angle ? "an " : "a ") + words;
}

}  // namespace perrev
