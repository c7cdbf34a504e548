#include "engine/json_text.h"

#include <nlohmann/json.hpp>

namespace perrev {

namespace {

constexpr auto kReplace = nlohmann::ordered_json::error_handler_t::replace;

}  // namespace

std::string compact_json(const nlohmann::ordered_json& json) {
  return json.dump(-1, ' ', false, kReplace);
}

std::string indented_json(const nlohmann::ordered_json& json) {
  return json.dump(2, ' ', false, kReplace);
}

}  // namespace perrev
