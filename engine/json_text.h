// JSON as text, the same everywhere: bytes that are no UTF-8 become U+FFFD, so it always is JSON.
// And keys in pointers to what stands in it.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>

namespace perrev {

// On one line, without blanks.
std::string compact_json(const nlohmann::ordered_json& json);
// Two blanks a level, no line end at the end.
std::string indented_json(const nlohmann::ordered_json& json);

// A key as a part of a pointer (RFC 6901); control bytes, which would break a line, become "?".
std::string pointer_part(std::string_view key);

}  // namespace perrev
