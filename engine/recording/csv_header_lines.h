// The first lines of a comma separated text: which of them are rows, and which are units.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace perrev {

// In the order in which they are tried: a comma may be a decimal one beside the others.
inline constexpr std::array kSeparators = {'\t', ';', ',', '|'};
inline constexpr std::string_view kAnySeparator = "\t;,|";
inline char decimal_comma_beside(char separator) { return separator == ',' ? '.' : ','; }

// As UTF-8: bytes that are none are taken as Latin-1, as older loggers write.
std::string utf8_line(std::string_view line);

// "# time,ax" without its comment marks.
std::string_view without_marks(std::string_view line);

// More numbers and moments than words.
bool is_row(const std::vector<std::string>& cells, char comma);

// "g" of "[g]".
std::string_view bare_unit(std::string_view cell);

// How many cells are a unit, and how many are not; without the empty ones.
struct UnitsAmong {
  std::size_t units = 0, others = 0;

  bool any() const { return units > 0; }
  bool most() const { return units > others; }
  bool all() const { return units > 0 && others == 0; }
};
UnitsAmong units_among(const std::vector<std::string>& cells);

}  // namespace perrev
