// JSON as text, the same everywhere: bytes that are no UTF-8 become U+FFFD, so it always is JSON.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

namespace perrev {

// On one line, without blanks.
std::string compact_json(const nlohmann::ordered_json& json);
// Two blanks a level, no line end at the end.
std::string indented_json(const nlohmann::ordered_json& json);

}  // namespace perrev
