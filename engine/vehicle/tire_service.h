// What follows the size on a tire's side: load index, speed symbol, load range.
//
// Speed symbols and load indices are those of UN R30 and R54 and ISO 4000-1; the letters of load
// ranges and their plies are TRA practice. Values from memory, spot-checked against public tables.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace perrev {

// Speed of the symbol in km/h; nothing for a letter that is none. Only the symbols a road vehicle's
// tire carries (F 80 to Y 300).
std::optional<double> kmh_of_speed_symbol(char symbol);

constexpr int kLowestLoadIndex = 50;
constexpr int kHighestLoadIndex = 179;

// Maximum load in kg. The table of the standard from 60 to 160; outside it the law behind the
// table, 45 * 10^(index/80), rounded as the table is (to about half a percent).
double kg_of_load_index(int index);

// B (4 plies) to N (24): the letters of load ranges; I, K and O are not used.
bool is_load_range(char letter);
// "10PR" is load range E.
std::optional<char> load_range_of_plies(int plies);

}  // namespace perrev
