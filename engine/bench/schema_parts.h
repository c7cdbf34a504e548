// The inside of schema.h: parts that its files share. Not for use outside this room.
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>

#include "engine/knowledge/rule_base.h"

namespace perrev {

using Json = nlohmann::ordered_json;

inline constexpr const char* kNamesFile = "names.schema.json";

// `schema` with words for people; draft-07 passes over what stands beside a $ref.
Json described(std::string_view words, Json schema);
// A single one that fits, or a list of them.
Json one_or_list(const Json& item);
// What stands at the top of every schema.
Json schema_head(const std::string& title);

// All that Shape::of and Shape::keys may name, for this rule base, and what those refer to.
Json name_definitions(const RuleBase& base);

}  // namespace perrev
