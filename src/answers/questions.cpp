#include "src/answers/questions.h"

#include <algorithm>

#include "engine/planning/asking.h"
#include "engine/planning/plan.h"
#include "engine/reasoning/next.h"

namespace perrev {

namespace {

const Fact& fact_at(const RuleBase& base, int fact) {
  return base.facts[static_cast<std::size_t>(fact)];
}

std::vector<Question> open_places(const Asking& asking, int index) {
  const RuleBase& base = asking.planner.reasoner().base();
  const RoundFacts& now = asking.open.facts.now();
  const Fact& of = fact_at(base, index);
  std::vector<Question> out;
  if (!of.is_asked_at(asking.by) || !is_asked(base, now, index)) return out;
  const std::size_t places = std::max<std::size_t>(1, places_of(of.per).size());
  for (std::size_t p = 0; p < places; ++p) {
    const Question question{index, of.per == Per::vehicle_case ? -1 : static_cast<int>(p)};
    if (!now.find(question.fact, question.place) && asking.skipped.count(question) == 0)
      out.push_back(question);
    if (of.kind == FactKind::text) break;  // one answer serves all places
  }
  return out;
}

// Facts that come before anything the plan asks for; -1 where the rule base has none of the name.
std::vector<int> asked_first(const Asking& asking) {
  const RuleBase& base = asking.planner.reasoner().base();
  const CaseFacts& facts = asking.open.facts;
  std::vector<int> out;
  if (asking.by == Asker::write_up) out.push_back(base.fact_index("complaint_words"));
  if (asking.by == Asker::bay)
    for (const StopState& stop : facts.stops)
      if (!stop.lifted) out.push_back(fact_at(base, stop.fact).stop->cleared_by);
  for (const GateState& gate : asking.offers.gates)
    if (base.gates[static_cast<std::size_t>(gate.gate)].guards_driving)
      out.insert(out.end(), gate.missing.begin(), gate.missing.end());
  if (facts.rounds.size() > 1) out.push_back(base.fact_index("complaint_now"));
  if (asking.by == Asker::road && !facts.stopped()) out.push_back(base.fact_index("duplicated"));
  if (asking.by == Asker::write_up)
    for (const char* id : {"tire_size", "worst_speed", "powertrain", "driven_axle", "gearbox"})
      out.push_back(base.fact_index(id));
  return out;
}

std::vector<int> asked_by_plan(const Asking& asking) {
  return facts_to_ask(asking.planner, asking.open.facts, asking.ranking, asking.offers,
                      held_now(asking.planner, asking.open.file), asking.by,
                      [&](int fact) { return !open_places(asking, fact).empty(); });
}

}  // namespace

std::optional<Question> next_question(const Asking& asking) {
  for (const int fact : asked_first(asking)) {
    if (fact < 0) continue;
    const std::vector<Question> open = open_places(asking, fact);
    if (!open.empty()) return open.front();
  }
  const std::vector<int> worth = asked_by_plan(asking);
  if (worth.empty()) return std::nullopt;
  return open_places(asking, worth.front()).front();
}

std::vector<Question> all_questions(const Asking& asking) {
  const Reasoner& reasoner = asking.planner.reasoner();
  std::vector<int> order = asked_first(asking);
  const auto append = [&](const std::vector<int>& more) {
    order.insert(order.end(), more.begin(), more.end());
  };
  append(asked_by_plan(asking));
  append(next_steps(reasoner, asking.open.facts, asking.ranking, asking.offers).unanswered);
  for (std::size_t f = 0; f < reasoner.base().facts.size(); ++f)
    order.push_back(static_cast<int>(f));
  std::set<int> seen = {-1};
  std::vector<Question> out;
  for (const int fact : order) {
    if (!seen.insert(fact).second) continue;
    const std::vector<Question> open = open_places(asking, fact);
    out.insert(out.end(), open.begin(), open.end());
  }
  return out;
}

bool is_computed(const Reasoner& reasoner, int fact) {
  for (const Provider* provider : reasoner.providers())
    for (const int owned : provider->facts(reasoner.base()))
      if (owned == fact) return true;
  return false;
}

}  // namespace perrev
