// One request on its way to an answer, and the answers by name. For this folder, and for whoever
// brings further answers.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "engine/planning/planner.h"
#include "engine/providers/orders.h"
#include "src/answers/answers.h"
#include "src/answers/open_case.h"

namespace perrev {

// The object of a request, or what is wrong with the text.
Result<nlohmann::ordered_json, Problems> read_request(std::string_view text);

// Of a JSON object: empty where it has no such text.
std::string text_in(const nlohmann::ordered_json& request, const char* key);
Units units_in(const nlohmann::ordered_json& request);
// Px, of the frame of a plot: what the request has, within 100 to 1200, or `usual`.
double width_in(const nlohmann::ordered_json& request, double usual);

struct Asked {
  const RuleBase& base;
  const Reasoner& reasoner;
  const Planner& planner;
  const nlohmann::ordered_json& request;
  std::string_view case_text;  // stands for `case` where it is not empty

  Result<OpenCase, Problems> open() const;
  std::string text(const char* key) const { return text_in(request, key); }
  Units units() const { return units_in(request); }
  double width(double usual) const { return width_in(request, usual); }
  // The fact that the request names.
  Result<int, Problems> fact() const;
};

Problems wrong(const char* where, std::string what, std::string right = {});

nlohmann::ordered_json ranking_json(const Reasoner& reasoner, const CaseFacts& facts);

Answered catalogue_answer(const Asked& asked);
Answered diagnosis_answer(const Asked& asked);
Answered ranking_answer(const Asked& asked);
Answered reasons_answer(const Asked& asked);
Answered plan_answer(const Asked& asked);
Answered road_answer(const Asked& asked);
Answered questions_answer(const Asked& asked);
Answered effect_answer(const Asked& asked);
Answered reading_answer(const Asked& asked);
Answered tire_size_answer(const Asked& asked);
Answered case_lines_answer(const Asked& asked);
Answered phrases_answer(const Asked& asked);
Answered check_answer(const Asked& asked);
Answered rules_answer(const Asked& asked);
Answered explain_answer(const Asked& asked);
Answered feel_case_answer(const Asked& asked);
Answered bay_tools_answer(const Asked& asked);
Answered bay_reckoning_answer(const Asked& asked);
Answered report_answer(const Asked& asked);  // src/report/

}  // namespace perrev
