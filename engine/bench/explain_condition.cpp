#include "engine/bench/explain_condition.h"

#include <algorithm>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

// `all` and `any` of one part are that part.
const Condition& unwrapped(const Condition& condition) {
  const Condition* at = &condition;
  while (at->kind != Condition::Kind::test && at->kind != Condition::Kind::negation &&
         at->parts.size() == 1)
    at = &at->parts.front();
  return *at;
}

// RuleBase::words names the fact by its id; here its question stands for it.
std::string test_words(const RuleBase& base, const Condition& test, Units units) {
  const Variable& v = base.variables[static_cast<std::size_t>(test.variable)];
  const Fact& fact = base.facts[static_cast<std::size_t>(v.fact)];
  std::string answer = base.words(test, units).substr(spaced(fact.id).size() + 2);
  if (fact.limit >= 0 || fact.kind == FactKind::number) answer = "(" + answer + ")";
  return fact.ask + " " + answer;
}

std::string test_ids(const RuleBase& base, const Condition& test) {
  const Variable& v = base.variables[static_cast<std::size_t>(test.variable)];
  const Fact& fact = base.facts[static_cast<std::size_t>(v.fact)];
  if (v.answer >= 0) return base.variable_name(test.variable);
  if (fact.answers.empty()) return fact.id;
  std::vector<std::string> ids;
  for (int i = 0; i < v.size(); ++i)
    if ((test.answers >> i) & 1u) ids.push_back(fact.answers[static_cast<std::size_t>(i)].id);
  return fact.id + ": " + joined(ids);
}

void add_parts(const RuleBase& base, const Condition& given, int depth, Units units,
               std::vector<ConditionPart>& out) {
  const Condition& condition = unwrapped(given);
  if (condition.kind == Condition::Kind::test) {
    out.push_back({depth, &condition, test_words(base, condition, units), test_ids(base, condition),
                   base.variables[static_cast<std::size_t>(condition.variable)].fact});
    return;
  }
  const bool any = condition.kind == Condition::Kind::any;
  if (condition.parts.empty()) {
    out.push_back({depth, &condition, any ? "never" : "always", {}, -1});
    return;
  }
  const bool negates = condition.kind == Condition::Kind::negation;
  out.push_back({depth,
                 &condition,
                 negates ? "not this:"
                 : any   ? "any of these:"
                         : "all of these:",
                 {},
                 -1});
  for (const Condition& part : condition.parts) add_parts(base, part, depth + 1, units, out);
}

}  // namespace

std::vector<ConditionPart> parts_of(const RuleBase& base, const Condition& condition, Units units) {
  std::vector<ConditionPart> out;
  add_parts(base, condition, 0, units, out);
  return out;
}

std::string in_words(const RuleBase& base, const Condition& given, Units units) {
  const Condition& condition = unwrapped(given);
  if (condition.kind == Condition::Kind::test) return test_words(base, condition, units);
  if (condition.kind == Condition::Kind::negation)
    return "not (" + in_words(base, condition.parts.front(), units) + ")";
  if (condition.parts.empty()) return condition.kind == Condition::Kind::any ? "never" : "always";
  std::string out;
  for (const Condition& part : condition.parts) {
    const Condition& inner = unwrapped(part);
    const bool nested = inner.parts.size() > 1;
    out += out.empty() ? "" : condition.kind == Condition::Kind::any ? "; or " : "; and ";
    out += nested ? "(" + in_words(base, inner, units) + ")" : in_words(base, inner, units);
  }
  return out;
}

std::vector<std::string> places_read(const RuleBase& base, const Condition& condition) {
  std::vector<std::string> out = {""};
  for (const int v : condition.variables()) {
    const Variable& variable = base.variables[static_cast<std::size_t>(v)];
    const std::vector<std::string>& places = places_of(variable.per);
    if (!places.empty() && (out.front().empty() || places.size() > out.size())) out = places;
  }
  return out;
}

std::vector<Truth> truths_of(const RuleBase& base, const Condition& part, const Answers& answers,
                             const std::vector<std::string>& places) {
  std::vector<Truth> out;
  for (std::size_t place = 0; place < places.size(); ++place)
    out.push_back(truth_at(base, part, answers, static_cast<int>(place)));
  return out;
}

std::string name_of(Truth truth) {
  return truth == Truth::yes ? "yes" : truth == Truth::no ? "no" : "unknown";
}

}  // namespace perrev
