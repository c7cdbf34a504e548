#include "src/answers/questions.h"

#include <algorithm>
#include <limits>

#include "engine/planning/asking.h"
#include "engine/planning/plan.h"
#include "engine/reasoning/next.h"

namespace perrev {

namespace {

CaseFacts with_skipped(const Asking& asking) {
  CaseFacts out = asking.open.facts;
  for (const Question& question : asking.skipped) {
    RoundFacts& now = out.rounds.back();
    if (now.find(question.fact, question.place)) continue;
    Reading unsure;
    unsure.entry = std::numeric_limits<std::size_t>::max();  // of none
    unsure.fact = question.fact;
    unsure.place = question.place;
    unsure.unsure = true;
    unsure.by = asking.by;
    const auto at = std::find_if(now.readings.begin(), now.readings.end(), [&](const Reading& r) {
      return std::pair(r.fact, r.place) > std::pair(unsure.fact, unsure.place);
    });
    now.readings.insert(at, std::move(unsure));
  }
  return out;
}

class Order {
 public:
  explicit Order(const Asking& asking)
      : asking_(asking),
        base_(asking.planner.reasoner().base()),
        facts_(with_skipped(asking)),
        offers_(offers_of(base_, facts_)),
        begun_(fact_begun()) {}

  std::vector<Question> open_places(int index) const {
    const Fact& of = fact(index);
    std::vector<Question> out;
    if (!of.is_asked_at(asking_.by) || !is_asked(base_, facts_.now(), index)) return out;
    const std::size_t places = std::max<std::size_t>(1, places_of(of.per).size());
    for (std::size_t p = 0; p < places; ++p) {
      const Question question{index, of.per == Per::vehicle_case ? -1 : static_cast<int>(p)};
      if (!facts_.now().find(question.fact, question.place)) out.push_back(question);
      if (of.kind == FactKind::text) break;  // one answer serves all places
    }
    return out;
  }

  // Facts that come before anything the plan asks for; -1 where the rule base has none of the name.
  std::vector<int> first() const {
    std::vector<int> out;
    if (begun_ >= 0 && fact(begun_).per != Per::vehicle_case) out.push_back(begun_);
    if (asking_.by == Asker::write_up) out.push_back(base_.fact_index("complaint_words"));
    if (asking_.by == Asker::bay)
      for (const StopState& stop : facts_.stops)
        if (!stop.lifted) out.push_back(fact(stop.fact).stop->cleared_by);
    for (const GateState& gate : offers_.gates)
      if (base_.gates[static_cast<std::size_t>(gate.gate)].guards_driving)
        out.insert(out.end(), gate.missing.begin(), gate.missing.end());
    if (facts_.rounds.size() > 1) out.push_back(base_.fact_index("complaint_now"));
    if (asking_.by == Asker::road && !facts_.stopped())
      out.push_back(base_.fact_index("duplicated"));
    if (asking_.by == Asker::write_up)
      for (const char* id : {"tire_size", "worst_speed", "powertrain", "driven_axle", "gearbox"})
        out.push_back(base_.fact_index(id));
    return out;
  }

  std::vector<int> by_plan() const {
    std::vector<int> out =
        facts_to_ask(asking_.planner, facts_, asking_.ranking, offers_,
                     held_now(asking_.planner, asking_.open.file, asking_.open.facts), asking_.by,
                     [&](int fact) { return !open_places(fact).empty(); });
    if (begun_ < 0 || asking_.by == Asker::write_up) return out;
    std::vector<int> with_begun, others;
    for (const int fact : out) (goes_with(fact) ? with_begun : others).push_back(fact);
    with_begun.insert(with_begun.end(), others.begin(), others.end());
    return with_begun;
  }

  // Of the write-up, not asked yet and telling something, best first.
  std::vector<int> untold() const {
    return next_steps(asking_.planner.reasoner(), facts_, asking_.ranking, offers_).unanswered;
  }

 private:
  const Fact& fact(int index) const { return base_.facts[static_cast<std::size_t>(index)]; }

  // The fact that this person answered last; -1 where it was taken back.
  int fact_begun() const {
    const Entry* latest = nullptr;
    for (const Entry& entry : asking_.open.file.entries())
      if (entry.by == asking_.by && (!latest || latest->key() < entry.key())) latest = &entry;
    return latest && latest->kind == Entry::Kind::answer ? base_.fact_index(latest->fact) : -1;
  }

  // Whether some check that is offered learns it together with what was begun.
  bool goes_with(int fact) const {
    return std::any_of(offers_.checks.begin(), offers_.checks.end(), [&](int c) {
      const Check& check = base_.checks[static_cast<std::size_t>(c)];
      const auto learns = [&](int one) {
        return std::find(check.learns.begin(), check.learns.end(), one) != check.learns.end();
      };
      return check.by == asking_.by && learns(begun_) && learns(fact);
    });
  }

  const Asking& asking_;
  const RuleBase& base_;
  const CaseFacts facts_;
  const Offers offers_;
  const int begun_;
};

}  // namespace

std::optional<Question> next_question(const Asking& asking) {
  const Order order(asking);
  for (const int fact : order.first()) {
    if (fact < 0) continue;
    const std::vector<Question> open = order.open_places(fact);
    if (!open.empty()) return open.front();
  }
  const std::vector<int> worth = order.by_plan();
  if (worth.empty()) return std::nullopt;
  return order.open_places(worth.front()).front();
}

std::vector<Question> all_questions(const Asking& asking) {
  const Order order(asking);
  std::vector<int> facts = order.first();
  for (const std::vector<int>& more : {order.by_plan(), order.untold()})
    facts.insert(facts.end(), more.begin(), more.end());
  for (std::size_t f = 0; f < asking.planner.reasoner().base().facts.size(); ++f)
    facts.push_back(static_cast<int>(f));
  std::set<int> seen = {-1};
  std::vector<Question> out;
  for (const int fact : facts) {
    if (!seen.insert(fact).second) continue;
    const std::vector<Question> open = order.open_places(fact);
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
