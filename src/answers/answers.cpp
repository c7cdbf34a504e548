#include "src/answers/answers.h"

#include <algorithm>
#include <exception>
#include <nlohmann/json.hpp>

#include "src/answers/asked.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

struct Named {
  std::string_view name;
  Answered (*answer)(const Asked&);
};

constexpr Named kAnswers[] = {
    {"catalogue", catalogue_answer}, {"diagnosis", diagnosis_answer}, {"ranking", ranking_answer},
    {"reasons", reasons_answer},     {"plan", plan_answer},           {"road", road_answer},
    {"questions", questions_answer}, {"effect", effect_answer},       {"reading", reading_answer},
    {"tire", tire_size_answer},      {"lines", case_lines_answer},    {"phrases", phrases_answer},
    {"check_case", check_answer},    {"report", report_answer},
};

Json json_of(const Problems& problems) {
  Json out = Json::array();
  for (const Problem& problem : problems) {
    Json item = {{"what", problem.what}};
    if (!problem.right.empty()) item["right"] = problem.right;
    if (!problem.place.pointer.empty()) item["where"] = problem.place.pointer;
    out.push_back(std::move(item));
  }
  return {{"problems", std::move(out)}};
}

}  // namespace

struct Answerer::Parts {
  explicit Parts(const RuleBase& base) : reasoner(base, {&orders}), planner(reasoner) {}

  OrdersProvider orders;
  Reasoner reasoner;
  Planner planner;
};

Answerer::Answerer(const RuleBase& base) : parts_(std::make_unique<const Parts>(base)) {}
Answerer::~Answerer() = default;

std::string Answerer::answer(std::string_view name, std::string_view request,
                             std::string_view case_text) const {
  const auto to_text = [](const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace);
  };
  try {
    const auto found = std::find_if(std::begin(kAnswers), std::end(kAnswers),
                                    [&](const Named& one) { return one.name == name; });
    if (found == std::end(kAnswers))
      return to_text(json_of({problem("nothing is answered under this name")}));
    const Json parsed = Json::parse(request.begin(), request.end(), nullptr, false);
    if (!parsed.is_object())
      return to_text(json_of({problem("the request is no JSON object", "{\"case\": {...}}")}));
    const Answered answered = found->answer(
        {parts_->reasoner.base(), parts_->reasoner, parts_->planner, parsed, case_text});
    return to_text(answered ? Json{{"ok", *answered}} : json_of(answered.error()));
  } catch (const std::exception&) {  // memory, or what a library throws of its own
    return R"({"problems":[{"what":"this could not be answered"}]})";
  }
}

}  // namespace perrev
