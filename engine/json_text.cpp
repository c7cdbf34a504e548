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

std::string pointer_part(std::string_view key) {
  std::string out;
  for (const char c : key)
    out += c == '~'                               ? "~0"
           : c == '/'                             ? "~1"
           : static_cast<unsigned char>(c) < 0x20 ? "?"
                                                  : std::string(1, c);
  return out;
}

}  // namespace perrev
