// Rows of a form in one text, as on a command line.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "src/answers/bay/bay_tool.h"

namespace perrev {

// Rows with ";" between them, columns with ", ". Where only the first column is given, rows may
// stand in a line with ", " between them. A number without a unit has that of the next one in its
// column that has one: "0.10, 0.15, 0.05 mm". A comma needs no blank behind it where it cannot be
// that of a decimal number.
nlohmann::ordered_json rows_from(const BayField& field, const std::string& text);

}  // namespace perrev
