#include "engine/knowledge/rule_base.h"

#include <algorithm>
#include <cmath>

#include "engine/knowledge/record.h"
#include "engine/quantity/text.h"

namespace perrev {

std::string_view name_of(FactKind kind) {
  switch (kind) {
    case FactKind::one:
      return "one";
    case FactKind::several:
      return "several";
    case FactKind::yesno:
      return "yesno";
    case FactKind::number:
      return "number";
    case FactKind::text:
      return "text";
  }
  return "";
}

std::string_view name_of(Asker asker) {
  switch (asker) {
    case Asker::write_up:
      return "write_up";
    case Asker::road:
      return "road";
    case Asker::bay:
      return "bay";
  }
  return "";
}

const std::vector<std::string>& places_of(Per per) {
  static const std::vector<std::string> wheels = {"left_front", "right_front", "left_rear",
                                                  "right_rear"};
  static const std::vector<std::string> axles = {"front_axle", "rear_axle"};
  static const std::vector<std::string> shafts = {"front_shaft", "rear_shaft"};
  static const std::vector<std::string> none;
  switch (per) {
    case Per::wheel:
      return wheels;
    case Per::axle:
      return axles;
    case Per::shaft:
      return shafts;
    case Per::vehicle_case:
      return none;
  }
  return none;
}

bool Fact::is_asked_at(Asker asker) const {
  return std::find(asked_at.begin(), asked_at.end(), asker) != asked_at.end();
}

std::string Fact::asked_unit(Units units) const {
  return own_unit.empty() ? std::string(usual_unit(unit, units)) : own_unit;
}

std::string Fact::shown(double value, Units units) const {
  return own_unit.empty() ? show_rounded(value, unit, units) : show_in(value, unit, own_unit);
}

std::string said_strength(const Rule::Effect& effect) {
  return is_id(effect.strength) ? spaced(effect.strength) : effect.strength + " times";
}

int answer_index(const Fact& fact, std::string_view id) {
  for (std::size_t i = 0; i < fact.answers.size(); ++i)
    if (fact.answers[i].id == id) return static_cast<int>(i);
  return -1;
}

namespace {

int find_in(const Ids& ids, std::string_view id) {
  const auto found = ids.find(id);
  return found == ids.end() ? -1 : found->second;
}

}  // namespace

std::vector<std::string> sorted_ids(const Ids& ids) {
  std::vector<std::string> out;
  for (const auto& each : ids) out.push_back(each.first);
  std::sort(out.begin(), out.end());
  return out;
}

double RuleBase::setup_minutes(int setup) const {
  double out = 0.0;
  for (; setup >= 0; setup = setups[static_cast<std::size_t>(setup)].after)
    out += setups[static_cast<std::size_t>(setup)].minutes;
  return out;
}

int RuleBase::fact_index(std::string_view id) const { return find_in(fact_by_id, id); }
int RuleBase::cause_index(std::string_view id) const { return find_in(cause_by_id, id); }
int RuleBase::check_index(std::string_view id) const { return find_in(check_by_id, id); }
int RuleBase::repair_index(std::string_view id) const { return find_in(repair_by_id, id); }

std::string RuleBase::vertex_name(int vertex) const {
  if (vertex == 0) return "start";
  if (vertex < vertex_of_gate(0)) return checks[static_cast<std::size_t>(vertex - 1)].id;
  if (vertex < vertex_of_end(0))
    return gates[static_cast<std::size_t>(vertex - vertex_of_gate(0))].id;
  return ends[static_cast<std::size_t>(vertex - vertex_of_end(0))].id;
}

std::string RuleBase::variable_name(int variable) const {
  const Variable& v = variables[static_cast<std::size_t>(variable)];
  const Fact& fact = facts[static_cast<std::size_t>(v.fact)];
  if (v.answer < 0) return fact.id;
  return fact.id + ": " + fact.answers[static_cast<std::size_t>(v.answer)].id;
}

std::string RuleBase::answer_name(int variable, int answer, Units units) const {
  const Variable& v = variables[static_cast<std::size_t>(variable)];
  const Fact& fact = facts[static_cast<std::size_t>(v.fact)];
  const std::size_t i = static_cast<std::size_t>(answer);
  if (v.answer >= 0) return answer == 1 ? "yes" : "no";
  if (!fact.answers.empty()) return fact.answers[i].id;
  return fact.shown(v.edges[i], units) + " to " + fact.shown(v.edges[i + 1], units);
}

std::string RuleBase::words(const Condition& condition, Units units) const {
  if (condition.kind == Condition::Kind::negation)
    return "not (" + words(condition.parts.front(), units) + ")";
  if (condition.kind == Condition::Kind::test) {
    const Variable& v = variables[static_cast<std::size_t>(condition.variable)];
    const Fact& fact = facts[static_cast<std::size_t>(v.fact)];
    std::string out = spaced(fact.id) + ": ";
    if (!v.edges.empty()) {
      const bool from = std::isfinite(condition.low) && condition.low > fact.low;
      const bool to = std::isfinite(condition.high) && condition.high < fact.high;
      if (from && to)
        return out + fact.shown(condition.low, units) + " to " + fact.shown(condition.high, units);
      return out + (from ? "from " + fact.shown(condition.low, units)
                         : "below " + fact.shown(condition.high, units));
    }
    if (v.answer >= 0)
      return out + (condition.answers == AnswerSet{2} ? "" : "not ") +
             fact.answers[static_cast<std::size_t>(v.answer)].label;
    std::string labels;
    for (int i = 0; i < v.size(); ++i)
      if ((condition.answers >> i) & 1u)
        labels += (labels.empty() ? "" : " or ") + fact.answers[static_cast<std::size_t>(i)].label;
    return out + labels;
  }
  std::string out;
  const char* glue = condition.kind == Condition::Kind::all ? ", and " : ", or ";
  for (const Condition& part : condition.parts) {
    const bool nested = !part.parts.empty() && part.kind != Condition::Kind::negation;
    out +=
        (out.empty() ? "" : glue) + (nested ? "(" + words(part, units) + ")" : words(part, units));
  }
  return out;
}

}  // namespace perrev
