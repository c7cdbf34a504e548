// Units as loggers write them in the names of columns: "mps2", "m_s2", "[m/s^2]", "km_h", "ms".
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace perrev {

inline constexpr double kStandardGravity = 9.80665;  // m/s2, standard gravity (CGPM 1901)

// What a column holds.
enum class Measured { time, acceleration, speed, turning };

// Size in SI: s, m/s2, m/s, turns in a second. Case does not count, nor blanks, "^", "*" and "_".
std::optional<double> unit_size(Measured what, std::string_view unit);
bool is_unit(std::string_view text);

// "g, mg, m/s2": for messages.
std::string_view usual_units(Measured what);
std::string_view name_of(Measured what);

}  // namespace perrev
