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

std::string text_of(const Answered& answered) {
  const Json json = answered ? Json{{"ok", *answered}} : json_of(answered.error());
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string text_of(const Problem& problem) { return text_of(Answered(Problems{problem})); }

constexpr const char* kUnanswered = R"({"problems":[{"what":"this could not be answered"}]})";

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
  try {
    const auto found = std::find_if(std::begin(kAnswers), std::end(kAnswers),
                                    [&](const Named& one) { return one.name == name; });
    if (found == std::end(kAnswers)) return text_of(problem("nothing is answered under this name"));
    const Json parsed = Json::parse(request.begin(), request.end(), nullptr, false);
    if (!parsed.is_object())
      return text_of(problem("the request is no JSON object", "{\"case\": {...}}"));
    return text_of(found->answer(
        {parts_->reasoner.base(), parts_->reasoner, parts_->planner, parsed, case_text}));
  } catch (const std::exception&) {  // memory, or what a library throws of its own
    return kUnanswered;
  }
}

std::string Answerer::ranking(const CaseFile& file) const {
  try {
    const auto facts = checked_facts(file, parts_->reasoner.base());
    if (!facts) return text_of(facts.error());
    return text_of(ranking_json(parts_->reasoner, *facts));
  } catch (const std::exception&) {  // as above
    return kUnanswered;
  }
}

}  // namespace perrev
