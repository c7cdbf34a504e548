// The JSON of a request, read strictly: valid UTF-8, no key twice, no nesting beyond 50, no number
// that no program can hold or that would lose digits (RFC 8259; what it leaves open is refused).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/result.h"

namespace perrev {

// An object, or what is wrong with the text.
Result<nlohmann::ordered_json, Problem> read_object(const std::string& text);

}  // namespace perrev
