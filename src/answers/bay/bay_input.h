// What was given to a tool of the bay, from text to SI, with everything wrong told at once.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "src/answers/bay/bay_tool.h"

namespace perrev {

// `given` is an object of texts, lists of texts and lists of lists of texts, by field. Problems
// have the pointer "/given/readings/3" or, of one column of several, "/given/readings/3/1".
Result<BayInput, Problems> read_given(const BayTool& tool, const nlohmann::ordered_json& given);

// One text for all rows, as on a command line: rows with ";" between them, columns with ", ". Where
// only the first column is given, rows may stand in a line with ", " between them. A number without
// a unit has that of the next one in its column that has one: "0.10, 0.15, 0.05 mm".
nlohmann::ordered_json rows_from(const BayField& field, const std::string& text);

// An angle from 0 to below a turn, in radians: "72 deg", "2:30 o'clock", "4 o'clock".
Result<double> read_place(std::string_view text);

// "from 0 mm to 25 mm".
std::string range_words(const BayColumn& column, Units units);

}  // namespace perrev
