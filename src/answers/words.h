// Text for people that fits 80 columns, and numbers as the answers write them.
#pragma once

#include <cstddef>
#include <string>

namespace perrev {

inline constexpr std::size_t kColumns = 80;

// Text broken at blanks to kColumns; lines after the first are indented.
std::string wrapped(const std::string& text, std::size_t first_indent, std::size_t indent);
// `head` in the first columns, `text` wrapped from `column` on.
std::string row(const std::string& head, std::size_t column, const std::string& text);

// A probability for people: "34 %", "under 1 %".
std::string percent(double probability);
// "12.1", with so many decimals.
std::string fixed(double value, int decimals);
// A weight of evidence: "+13.9"; "never" of one that rules out.
std::string decibans(double weight);
// A frequency without its unit for people: two decimals below 10 Hz, else one.
std::string short_hz(double hz);
// Six significant digits, for JSON.
double six_digits(double value);

}  // namespace perrev
