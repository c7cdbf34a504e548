#include "src/answers/answers.h"

#include <algorithm>
#include <exception>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/answers/asked.h"
#include "src/answers/problems_json.h"
#include "src/answers/reasoning.h"

namespace perrev {

namespace {

constexpr NamedAnswer kAnswers[] = {
    {"catalogue", catalogue_answer}, {"diagnosis", diagnosis_answer},
    {"ranking", ranking_answer},     {"reasons", reasons_answer},
    {"plan", plan_answer},           {"road", road_answer},
    {"questions", questions_answer}, {"effect", effect_answer},
    {"reading", reading_answer},     {"tire", tire_size_answer},
    {"lines", case_lines_answer},    {"phrases", phrases_answer},
    {"check_case", check_answer},    {"report", report_answer},
    {"rules", rules_answer},         {"explain", explain_answer},
    {"feel", feel_case_answer},      {"bay_tools", bay_tools_answer},
    {"bay", bay_reckoning_answer},
};

}  // namespace

Answerer::Answerer(const RuleBase& base, const std::vector<NamedAnswer>& further)
    : reasoning_(std::make_unique<const Reasoning>(base)),
      answers_(std::begin(kAnswers), std::end(kAnswers)) {
  answers_.insert(answers_.end(), further.begin(), further.end());
}
Answerer::~Answerer() = default;

const NamedAnswer* Answerer::named(std::string_view name) const {
  const auto found = std::find_if(answers_.begin(), answers_.end(),
                                  [&](const NamedAnswer& one) { return one.name == name; });
  return found == answers_.end() ? nullptr : &*found;
}

bool Answerer::knows(std::string_view name) const { return named(name) != nullptr; }

std::string Answerer::answer(std::string_view name, std::string_view request,
                             std::string_view case_text) const {
  try {
    const NamedAnswer* of = named(name);
    if (!of) return problems_json({problem("nothing is answered under this name")});
    const auto read = read_request(request);
    if (!read) return problems_json(read.error());
    const Answered answered = of->answer(
        {reasoning_->reasoner.base(), reasoning_->reasoner, reasoning_->planner, *read, case_text});
    return answered ? compact_json({{"ok", *answered}}) : problems_json(answered.error());
  } catch (const std::exception&) {  // memory, or what a library throws of its own
    return R"({"problems":[{"what":"this could not be answered"}]})";
  }
}

Problems Answerer::check(const std::string& case_text) const {
  const auto open = read_case("case", case_text, reasoning_->reasoner.base());
  return open ? Problems{} : open.error();
}

std::string Answerer::ranking(const CaseFile& file) const {
  const auto facts = checked_facts(file, reasoning_->reasoner.base());
  return facts ? compact_json(ranking_json(reasoning_->reasoner, *facts)["ranking"])
               : std::string();
}

}  // namespace perrev
