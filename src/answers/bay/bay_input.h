// What was given to a tool of the bay, from text to SI, with everything wrong told at once.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "src/answers/bay/bay_tool.h"

namespace perrev {

// `given` is an object of texts, lists of texts and lists of lists of texts, by field. Problems
// have the pointer "/given/readings/3" or, of one column of several, "/given/readings/3/1".
Result<BayInput, Problems> read_given(const BayTool& tool, const nlohmann::ordered_json& given,
                                      Units units);

// What stands behind the number: "mm" of "0.30 mm".
std::string_view unit_in(std::string_view text);

inline constexpr std::string_view kClock = "o'clock";

// An angle from 0 to below a turn, in radians: "72 deg", "2:30 o'clock", "4 o'clock".
Result<double> read_place(std::string_view text);

// "from 0 mm to 25 mm": in `unit`, or in the usual one of `units` where that is empty.
std::string range_words(const BayColumn& column, Units units, std::string_view unit = {});

}  // namespace perrev
