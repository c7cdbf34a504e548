// Numbers with units: text in, SI inside, text out.
//
// A quantity always carries its unit in text ("65 mph", "0.030 in", "3/32 in", "12 lb"); a bare
// number is refused where a unit is needed and never guessed. What the text is read against is the
// dimension that is due: "12 lb" is a force where force is due and a mass where mass is due.
// Inside, every value is a double in the SI unit of its dimension; nothing here is ever infinite or
// not a number.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/result.h"

namespace perrev {

// The unit in which a value of each dimension is held.
enum class Dimension {
  count,                   // 1; a bare number
  ratio,                   // 1; a bare number or "%"
  speed,                   // m/s
  length,                  // m
  frequency,               // Hz; also rpm (1/60 Hz)
  mass,                    // kg
  force,                   // N
  pressure,                // Pa
  time,                    // s
  angle,                   // rad
  temperature_difference,  // K
  moment,                  // kg m (imbalance)
  torque,                  // N m
};

enum class Units { us, metric };

std::optional<Dimension> dimension_named(std::string_view name);
std::string_view name_of(Dimension dimension);
std::vector<std::string> dimension_names();

// One plain decimal ("65", "-0.5", ".030", "62,5" with a decimal comma), whole text, finite. No
// exponent, hex or names, no thousands separators: "1,234" could be one, so it is refused as well.
std::optional<double> parse_decimal(std::string_view text);

// Text with a unit to SI. Errors say what was read and which units would be right. Fractions such
// as "3/32 in", "1 1/2 in" and "1/4 oz" are read for lengths, masses and moments. Negative values
// are refused except for angle and temperature_difference, where they make sense. A blank between
// number and unit may be left out; names of more than one letter are read in any case.
Result<double> parse_quantity(std::string_view text, Dimension due);

// For a prompt that shows its unit: a bare number is in `shown_unit`, text with a unit is read as
// usual.
Result<double> parse_quantity_in(std::string_view text, Dimension due, std::string_view shown_unit);

struct QuantityRange {
  double low = 0.0;   // SI; -infinity where the text leaves the end open
  double high = 0.0;  // SI; +infinity where open
};

// "55..75 mph", "..40 mph", "75 mph..", "40 km/h..70 km/h": a low end without a unit has that of
// the high end. The low end must lie below the high end.
Result<QuantityRange> parse_quantity_range(std::string_view text, Dimension due);

// The unit a prompt shows and answers are printed in: "mph" or "km/h", "in" or "mm", ...
std::string_view usual_unit(Dimension dimension, Units units);
// SI value in that unit, without the unit's name.
double in_usual_unit(double si, Dimension dimension, Units units);

// "65 mph", at most six significant digits. Large sizes get a larger unit ("12 mi", "15 min"); what
// is shown can be read again by parse_quantity, from 1e-9 to below 1e15 of its unit.
std::string show(double si, Dimension dimension, Units units);
// The same to three digits: a threshold set in one unit and shown in another is no exact number.
std::string show_rounded(double si, Dimension dimension, Units units);
// To three digits in a unit of the dimension.
std::string show_in(double si, Dimension dimension, std::string_view unit);
// A plain number at six significant digits, no exponent for everyday sizes.
std::string show_number(double value);

}  // namespace perrev
