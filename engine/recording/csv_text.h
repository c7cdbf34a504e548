// A line of comma separated text cut into cells (RFC 4180, with any separator).
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/plain_number.h"

namespace perrev {

// Without the blanks and quotes around them; doubled quotes inside become one.
std::vector<std::string> cells_of(std::string_view line, char separator);

// What stands for a value that is not there: nothing, "nan", "null", "NA", "-".
bool stands_for_none(std::string_view cell);

// A cell that is a number and nothing else.
bool is_number(std::string_view cell, char comma);

}  // namespace perrev
