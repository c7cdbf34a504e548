// What the tools that turn one part on another have in common: rows of amount, place and turn,
// words of a turn. Internal to this folder. Turns and places count clockwise.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/shopmath/turned.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// Rows of an amount up to `most`, its place and how far was turned.
BayField turned_rows(std::string_view id, std::string_view label, std::string_view help,
                     Dimension dimension, double most);
// Refused: a first row that is turned, since turns count from there; a whole turn or more.
Result<std::vector<TurnedReading>, Problems> read_turned(const BayInput& input,
                                                         std::string_view field);

// "50 deg counter-clockwise (what stands at 12 o'clock comes to 10:30 o'clock)".
std::string told_turned(double turn);
// "2", "1.9": how often a part is in the change of a reading that was made by turning it.
std::string told_times(double turn);

}  // namespace perrev
