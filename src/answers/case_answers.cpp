// What is answered of a whole case.
#include <limits>

#include "engine/planning/road_plan.h"
#include "engine/reasoning/reasons.h"
#include "src/answers/asked.h"
#include "src/answers/diagnosis_parts.h"
#include "src/answers/questions.h"
#include "src/answers/road_page.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

constexpr double kLeastRanked = 0.001;

const Fact& fact_named(const RuleBase& base, int fact) {
  return base.facts[static_cast<std::size_t>(fact)];
}

Json place_json(const RuleBase& base, const Question& question) {
  if (question.place < 0) return nullptr;
  return places_of(fact_named(base, question.fact).per)[static_cast<std::size_t>(question.place)];
}

Json json_of(const RuleBase& base, const Question& question) {
  return {{"fact", fact_named(base, question.fact).id}, {"place", place_json(base, question)}};
}

std::set<Question> skipped_in(const Asked& asked) {
  std::set<Question> out;
  const auto list = asked.request.find("skipped");
  if (list == asked.request.end() || !list->is_array()) return out;
  for (const Json& item : *list) {
    if (!item.is_object()) continue;
    const auto text = [&](const char* key) {
      const auto found = item.find(key);
      return found != item.end() && found->is_string() ? found->get<std::string>() : std::string();
    };
    const int fact = asked.base.fact_index(text("fact"));
    if (fact < 0) continue;
    const std::vector<std::string>& places = places_of(fact_named(asked.base, fact).per);
    const auto place = std::find(places.begin(), places.end(), text("place"));
    out.insert({fact, place == places.end() ? -1 : static_cast<int>(place - places.begin())});
  }
  return out;
}

}  // namespace

Answered check_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  return Json::object();
}

Answered diagnosis_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  std::size_t explained = 5;
  const auto wanted = asked.request.find("explained");
  if (wanted != asked.request.end() && wanted->is_number_unsigned())
    explained = wanted->get<std::size_t>();
  return to_json(asked.reasoner, open->file, open->facts,
                 diagnose(asked.planner, open->file, open->facts), explained);
}

Json ranking_json(const Reasoner& reasoner, const CaseFacts& facts) {
  const RuleBase& base = reasoner.base();
  const Ranking ranking = rank(reasoner, facts);
  Json out = {{"ranking", Json::array()},
              {"not_listed", ranking.not_listed},
              {"nothing_left", ranking.nothing_left}};
  for (const Ranked& ranked : ranking.causes) {
    const CauseState state = state_of(base, facts, ranked);
    if (ranked.probability < kLeastRanked && state != CauseState::confirmed) continue;
    out["ranking"].push_back({{"cause", cause_of(base, ranked.cause).id},
                              {"name", cause_of(base, ranked.cause).name},
                              {"probability", ranked.probability},
                              {"state", name_of(state)}});
  }
  return out;
}

Answered ranking_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  return ranking_json(asked.reasoner, open->facts);
}

Answered reasons_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  const int cause = asked.base.cause_index(asked.text("cause"));
  if (cause < 0) return wrong("cause", "there is no such cause", "an id of the ranking");
  const Ranking ranking = rank(asked.reasoner, open->facts);
  return ranked_json(asked.reasoner, open->facts, ranking.of(cause),
                     reasons_for(asked.reasoner, open->facts, cause));
}

Answered plan_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  const Ranking ranking = rank(asked.reasoner, open->facts);
  Held held = held_now(asked.planner, open->file, open->facts);
  const std::string ready = asked.text("ready");
  if (!ready.empty()) {
    const auto set_up = held_with(asked.planner, ready);
    if (!set_up) return wrong("ready", set_up.error().what, set_up.error().right);
    held = *set_up;
  }
  const Plan plan =
      plan_of(asked.planner, open->facts, ranking, offers_of(asked.base, open->facts), held);
  return plan_json(asked.base, open->file, open->facts, ranking, plan);
}

Answered road_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  const RoadPlan road = road_plan(asked.reasoner, open->facts, rank(asked.reasoner, open->facts),
                                  offers_of(asked.base, open->facts), asked.units());
  Json out = road_json(asked.reasoner, road);
  out["text"] = road_page(asked.reasoner, open->facts, road, asked.units());
  return out;
}

Answered questions_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  Asker by = Asker::write_up;
  const std::string who = asked.text("by");
  if (who == "road")
    by = Asker::road;
  else if (who == "bay")
    by = Asker::bay;
  else if (who != "write_up")
    return wrong("by", "nobody is named so", "write_up, road or bay");
  const Ranking ranking = rank(asked.reasoner, open->facts);
  const std::set<Question> skipped = skipped_in(asked);
  const Asking asking{asked.planner, *open, ranking, by, skipped};
  const auto next = next_question(asking);
  Json out = {{"next", next ? json_of(asked.base, *next) : Json(nullptr)}, {"all", Json::array()}};
  for (const Question& question : all_questions(asking))
    out["all"].push_back(json_of(asked.base, question));
  return out;
}

Answered effect_answer(const Asked& asked) {
  const auto open = asked.open();
  if (!open) return open.error();
  const auto fact = asked.fact();
  if (!fact) return fact.error();
  const Ranking ranking = rank(asked.reasoner, open->facts);
  std::vector<int> first;
  Json out = {{"first", Json::array()}, {"outcomes", Json::array()}, {"note", nullptr}};
  for (std::size_t i = 0; i < 3 && i < ranking.causes.size(); ++i) {
    first.push_back(ranking.causes[i].cause);
    out["first"].push_back(cause_of(asked.base, first.back()).id);
  }
  if (is_computed(asked.reasoner, *fact)) {
    out["note"] = kComputedNote;
    return out;
  }
  for (const Outcome& outcome :
       outcomes(asked.reasoner, open->facts, ranking, *fact, first, asked.units()))
    out["outcomes"].push_back({{"answer", outcome.answer},
                               {"label", outcome.label},
                               {"probability", outcome.probability},
                               {"causes_after", outcome.causes_after}});
  if (out["outcomes"].empty()) out["note"] = kOnlyArithmeticNote;
  return out;
}

}  // namespace perrev
