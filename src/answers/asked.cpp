#include "src/answers/asked.h"

#include <algorithm>
#include <utility>

#include "engine/json_depth.h"
#include "engine/json_text.h"

namespace perrev {

Problems wrong(const char* where, std::string what, std::string right) {
  return {Problem{{{}, 0, 0, where}, std::move(what), std::move(right), {}}};
}

Result<nlohmann::ordered_json, Problems> read_request(std::string_view text) {
  constexpr int kDeepest = 100;  // deeper than a case may be, so that it tells of itself
  if (too_deep(text, kDeepest)) return Problems{problem("the request is nested too deep")};
  auto read = nlohmann::ordered_json::parse(text.begin(), text.end(), nullptr, false);
  if (!read.is_object())
    return Problems{problem("the request is no JSON object", "{\"case\": {...}}")};
  return read;
}

std::string text_in(const nlohmann::ordered_json& request, const char* key) {
  const auto found = request.find(key);
  return found != request.end() && found->is_string() ? found->get<std::string>() : std::string();
}

Units units_in(const nlohmann::ordered_json& request) {
  return text_in(request, "units") == "metric" ? Units::metric : Units::us;
}

double width_in(const nlohmann::ordered_json& request, double usual) {
  const auto found = request.find("width");
  return found != request.end() && found->is_number()
             ? std::clamp(found->get<double>(), 100.0, 1200.0)
             : usual;
}

Result<OpenCase, Problems> Asked::open() const {
  if (!case_text.empty()) return read_case("case", std::string(case_text), base);
  const auto found = request.find("case");
  if (found == request.end())
    return wrong("case", "the request has no case", "\"case\": {\"perrev_case\": 1, ...}");
  return read_case("case", compact_json(*found), base);
}

Result<int, Problems> Asked::fact() const {
  const std::string id = text("fact");
  const int fact = base.fact_index(id);
  if (fact >= 0) return fact;
  return wrong("fact", "there is no fact '" + id + "'", "an id of facts.yaml");
}

}  // namespace perrev
