#include "engine/bench/new_case.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/casefile/facts_of.h"
#include "engine/json_text.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kRulesSpoken = 3;

const Fact& fact_at(const RuleBase& base, int fact) {
  return base.facts[static_cast<std::size_t>(fact)];
}

void add(const RuleBase& base, std::vector<SeenAnswer>& to, const SeenAnswer& seen) {
  for (SeenAnswer& there : to) {
    if (there.fact != seen.fact) continue;
    if (fact_at(base, seen.fact).kind == FactKind::several)
      for (const std::string& value : seen.values)
        if (std::find(there.values.begin(), there.values.end(), value) == there.values.end())
          there.values.push_back(value);
    return;
  }
  to.push_back(seen);
}

// In the middle of the range that a condition on a number asks for.
std::string number_within(const Fact& fact, double low, double high) {
  const double from = std::max(low, fact.low), to = std::min(high, fact.high);
  return show((from + to) / 2.0, fact.unit, Units::metric);
}

std::string limited_reading(const RuleBase& base, const Fact& fact, bool bad) {
  const LimitClass& edges = base.limits[static_cast<std::size_t>(fact.limit)].classes.front();
  return show(bad ? edges.bad : edges.good, fact.unit, Units::metric);
}

void add_test(const RuleBase& base, const Condition& test, std::vector<SeenAnswer>& to) {
  const Variable& variable = base.variables[static_cast<std::size_t>(test.variable)];
  const Fact& fact = fact_at(base, variable.fact);
  if (variable.answer >= 0) {  // of several: only that it is named
    if (test.answers == 2)
      add(base, to, {variable.fact, {fact.answers[static_cast<std::size_t>(variable.answer)].id}});
    return;
  }
  if (fact.kind == FactKind::number && fact.limit < 0)
    return add(base, to, {variable.fact, {number_within(fact, test.low, test.high)}});
  for (std::size_t answer = 0; answer < fact.answers.size(); ++answer) {
    if (!((test.answers >> answer) & 1u)) continue;
    const std::string value =
        fact.limit >= 0 ? limited_reading(base, fact, answer == 1) : fact.answers[answer].id;
    return add(base, to, {variable.fact, {value}});
  }
}

void add_condition(const RuleBase& base, const Condition& condition, std::vector<SeenAnswer>& to) {
  switch (condition.kind) {
    case Condition::Kind::test:
      return add_test(base, condition, to);
    case Condition::Kind::all:
      for (const Condition& part : condition.parts) add_condition(base, part, to);
      return;
    case Condition::Kind::any:
      if (!condition.parts.empty()) add_condition(base, condition.parts.front(), to);
      return;
    case Condition::Kind::negation:
      return;
  }
}

std::string two_digits(std::size_t number) {
  return (number < 10 ? "0" : "") + std::to_string(number);
}

// Minutes apart, from a moment that is nobody's: the order counts, not the day.
std::string moment_of(std::size_t entry) {
  return "2026-01-05T" + two_digits(9 + entry / 60 % 12) + ":" + two_digits(entry % 60) + ":00Z";
}

std::string member(const std::string& key, const Json& value) {
  return "\"" + key + "\": " + compact_json(value);
}

std::string entry_line(const RuleBase& base, std::size_t number, const SeenAnswer& seen) {
  const Fact& fact = fact_at(base, seen.fact);
  const std::vector<std::string>& places = places_of(fact.per);
  const bool is_list = fact.kind == FactKind::several || seen.values.size() > 1;
  std::string out = "    {" + member("id", std::to_string(number + 1)) + ", " +
                    member("at", moment_of(number)) + ", " +
                    member("by", std::string(name_of(fact.asked_at.front()))) + ", " +
                    member("fact", fact.id) + ", ";
  if (!places.empty()) out += member("place", places.front()) + ", ";
  return out + (is_list ? member("value", seen.values) : member("value", seen.values.front())) +
         "}";
}

std::string case_text(const RuleBase& base, const Cause& cause, const std::vector<SeenAnswer>& seen,
                      bool confirmed, const std::vector<std::string>& stops) {
  std::string out = "{\n  \"perrev_case\": 1,\n  " + member("label", cause.name) + ",\n" +
                    "  \"reference\": {\n    " + member("true", Json::array({cause.id})) +
                    ",\n    \"rank\": 1,\n";
  if (confirmed) out += std::string("    \"state\": {") + member(cause.id, "confirmed") + "},\n";
  if (!stops.empty()) out += "    " + member("stops", stops) + ",\n";
  out += "    " +
         member("about",
                "Proposed with its cause. Put in which vehicle it was, and what else it "
                "showed.") +
         "\n  },\n  \"entries\": [\n";
  for (std::size_t i = 0; i < seen.size(); ++i)
    out += entry_line(base, i, seen[i]) + (i + 1 < seen.size() ? ",\n" : "\n");
  return out + "  ]\n}\n";
}

}  // namespace

Result<SeenAnswer> read_seen(const RuleBase& base, const std::string& said) {
  const std::size_t colon = std::min(said.find(':'), said.size());
  const std::string id(trimmed(std::string_view(said).substr(0, colon)));
  SeenAnswer out;
  out.fact = base.fact_index(id);
  if (out.fact < 0) {
    std::vector<std::string> ids;
    for (const Fact& fact : base.facts) ids.push_back(fact.id);
    return problem("no fact is called " + perrev::quoted(id), near_or(id, ids, "fact: answer"));
  }
  const Fact& fact = fact_at(base, out.fact);
  for (std::size_t at = colon + 1; at <= said.size();) {
    const std::size_t end =
        fact.kind == FactKind::text ? said.size() : std::min(said.find(',', at), said.size());
    const std::string value(trimmed(std::string_view(said).substr(at, end - at)));
    if (!value.empty()) out.values.push_back(value);
    at = end + 1;
  }
  if (out.values.empty()) return problem(perrev::quoted(said) + " has no answer", "fact: answer");
  const auto reading = read_value(base, out.fact, out.values,
                                  Answers(static_cast<std::size_t>(base.slot_count), -1));
  if (!reading) return reading.error();
  return out;
}

std::vector<SeenAnswer> answers_for(const RuleBase& base, const Condition& condition) {
  std::vector<SeenAnswer> out;
  add_condition(base, condition, out);
  return out;
}

std::vector<SeenAnswer> answers_of_cause(const RuleBase& base, int cause) {
  std::vector<SeenAnswer> out;
  for (const auto& [variable, answers] : base.causes[static_cast<std::size_t>(cause)].needs)
    add_test(base, Condition::test(variable, answers), out);
  // A rule that speaks of few causes tells more of this one than a strong one about many.
  std::vector<std::pair<std::size_t, const Rule*>> speaking;
  for (const Rule& rule : base.rules)
    for (const Rule::Effect& effect : rule.effects)
      if (effect.cause == cause && effect.log_ratio > 0.0)
        speaking.emplace_back(rule.effects.size(), &rule);
  std::sort(speaking.begin(), speaking.end(), [](const auto& a, const auto& b) {
    return a.first != b.first ? a.first < b.first : a.second->id < b.second->id;
  });
  if (speaking.size() > kRulesSpoken) speaking.resize(kRulesSpoken);
  for (const auto& each : speaking) add_condition(base, each.second->when, out);
  return out;
}

std::string reference_case(const RuleBase& base, int cause, const std::vector<SeenAnswer>& seen,
                           bool shown) {
  const Cause& of = base.causes[static_cast<std::size_t>(cause)];
  std::vector<std::string> stops;
  bool confirmed = false;
  const auto file = CaseFile::parse("case", case_text(base, of, seen, false, {}));
  if (file)
    if (const auto facts = facts_of(*file, base)) {
      for (const StopState& stop : facts->stops)
        if (!stop.lifted) stops.push_back(fact_at(base, stop.fact).id);
      confirmed =
          shown && std::binary_search(facts->verdicts.begin(), facts->verdicts.end(), cause);
    }
  return case_text(base, of, seen, confirmed, stops);
}

}  // namespace perrev
