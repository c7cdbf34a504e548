#include "tests/fuzz/answer_shape.h"

#include <nlohmann/json.hpp>

#include "engine/quantity/text.h"

namespace perrev::fuzz {

using Json = nlohmann::ordered_json;

std::string badly_refused(const Json& answer) {
  if (!answer.is_object() || answer.size() != 1 || !answer.contains("problems"))
    return "not {\"problems\": ...}";
  const Json& problems = answer["problems"];
  if (!problems.is_array() || problems.empty()) return "no problems";
  for (const Json& each : problems) {
    if (!each.is_object() || !each.contains("what")) return "a problem that says nothing";
    for (const auto& [key, value] : each.items()) {
      if (key != "what" && key != "right" && key != "where") return "an unknown key " + key;
      if (!value.is_string() || value.get<std::string>().empty()) return key + " is no text";
    }
    if (each["what"] == "this could not be answered") return "something was thrown";
  }
  return "";
}

std::string badly_answered(const Json& answer) {
  if (!answer.is_object()) return "an answer that is no object";
  for (const char* page : {"html", "svg"}) {
    const auto found = answer.find(page);
    if (found == answer.end() || !found->is_string()) continue;
    if (lower_case(found->get<std::string>()).find("<script") != std::string::npos)
      return std::string(page) + " that runs in a page";
  }
  return "";
}

}  // namespace perrev::fuzz
