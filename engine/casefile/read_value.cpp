#include <algorithm>
#include <utility>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/read_condition.h"
#include "engine/quantity/text.h"
#include "engine/vehicle/tire.h"

namespace perrev {

namespace {

std::vector<std::string> answer_ids(const Fact& fact) {
  std::vector<std::string> ids;
  ids.reserve(fact.answers.size());
  for (const Answer& answer : fact.answers) ids.push_back(answer.id);
  return ids;
}

Problem unknown_answer(const Fact& fact, const std::string& word) {
  const std::vector<std::string> ids = answer_ids(fact);
  return problem(perrev::quoted(word) + " is no answer of '" + fact.id + "'",
                 near_or(word, ids, "one of " + joined(ids)));
}

double median(std::vector<double> numbers) {
  std::sort(numbers.begin(), numbers.end());
  const std::size_t half = numbers.size() / 2;
  return numbers.size() % 2 == 1 ? numbers[half] : 0.5 * (numbers[half - 1] + numbers[half]);
}

// 0 good, 1 bad, -1 between the edges. With the class unknown: only what all classes agree on.
int against_limit(const RuleBase& base, const Limit& limit, double value,
                  const Answers& class_answers) {
  const std::vector<const LimitClass*> rows = limit_rows(base, limit, class_answers);
  bool all_good = !rows.empty(), all_bad = !rows.empty();
  for (const LimitClass* row : rows) {
    const bool good = limit.lower_is_better ? value <= row->good : value >= row->good;
    const bool bad = limit.lower_is_better ? value >= row->bad : value <= row->bad;
    all_good = all_good && good;
    all_bad = all_bad && bad && !good;
  }
  return all_good ? 0 : all_bad ? 1 : -1;
}

Result<Reading> read_number(const RuleBase& base, const Fact& fact,
                            const std::vector<std::string>& values, const Answers& class_answers,
                            Reading out) {
  for (const std::string& text : values) {
    const auto number = parse_quantity(text, fact.unit);
    if (!number) return number.error();
    if (*number < fact.low || *number > fact.high)
      return problem(
          perrev::quoted(text) + " lies outside what '" + fact.id + "' can be",
          "from " + fact.shown(fact.low, Units::us) + " to " + fact.shown(fact.high, Units::us));
    out.numbers.push_back(*number);
  }
  if (out.numbers.empty())
    return problem("'" + fact.id + "' has no reading", "a number with its unit");
  out.number = median(out.numbers);
  if (fact.limit >= 0) {
    out.answers = {against_limit(base, base.limits[static_cast<std::size_t>(fact.limit)],
                                 out.number, class_answers)};
    return out;
  }
  const std::vector<double>& edges =
      base.variables[static_cast<std::size_t>(fact.first_variable)].edges;
  const auto above = std::upper_bound(edges.begin(), edges.end(), out.number);
  const auto band = std::max<std::ptrdiff_t>(0, above - edges.begin() - 1);
  out.answers = {static_cast<int>(
      std::min<std::ptrdiff_t>(band, static_cast<std::ptrdiff_t>(edges.size()) - 2))};
  return out;
}

}  // namespace

std::vector<const LimitClass*> limit_rows(const RuleBase& base, const Limit& limit,
                                          const Answers& class_answers) {
  std::vector<const LimitClass*> all;
  for (const LimitClass& row : limit.classes) all.push_back(&row);
  if (limit.class_by < 0 || class_answers.empty()) return all;
  const Fact& by = base.facts[static_cast<std::size_t>(limit.class_by)];
  const Variable& variable = base.variables[static_cast<std::size_t>(by.first_variable)];
  const int chosen = class_answers[static_cast<std::size_t>(variable.first_slot)];
  if (chosen < 0) return all;
  const LimitClass* picked = nullptr;
  for (const LimitClass* row : all)
    if (row->id == by.answers[static_cast<std::size_t>(chosen)].id ||
        (row->id == "other" && !picked))
      picked = row;
  return picked ? std::vector<const LimitClass*>{picked} : all;
}

Result<Reading> read_value(const RuleBase& base, int fact_number,
                           const std::vector<std::string>& values, const Answers& class_answers) {
  const Fact& fact = base.facts[static_cast<std::size_t>(fact_number)];
  constexpr std::size_t kMostValues = 1000;
  if (values.size() > kMostValues)
    return problem("'" + fact.id + "' has more than 1000 values in one entry", "fewer readings");
  Reading out;
  out.fact = fact_number;
  out.text = joined(values);
  if (fact.kind == FactKind::number)
    return read_number(base, fact, values, class_answers, std::move(out));
  if (fact.kind == FactKind::several) {
    out.answers.assign(fact.answers.size(), 0);
    for (const std::string& word : values) {
      const int answer = answer_index(fact, word);
      if (answer < 0) return unknown_answer(fact, word);
      out.answers[static_cast<std::size_t>(answer)] = 1;
    }
    for (const char* alone : {"nothing", "none"}) {
      const int answer = answer_index(fact, alone);
      if (answer >= 0 && out.answers[static_cast<std::size_t>(answer)] == 1 &&
          std::count(out.answers.begin(), out.answers.end(), 1) > 1)
        return problem(
            "'" + std::string(alone) + "' of '" + fact.id + "' stands beside other answers",
            "either it alone, or the others");
    }
    return out;
  }
  if (values.size() != 1)
    return problem("'" + fact.id + "' takes one answer, not " + std::to_string(values.size()),
                   "one value");
  if (fact.kind == FactKind::text) {
    if (fact.id == "tire_size" || fact.id == "speedometer_tire_size") {
      const auto tire = parse_tire(values.front());
      if (!tire) return tire.error();
    }
    return out;
  }
  const int answer = answer_index(fact, values.front());
  if (answer < 0) return unknown_answer(fact, values.front());
  out.answers = {answer};
  return out;
}

namespace {

// A fact per case is answered the same at every place.
int answer_at(const Variable& variable, const Answers& answers, int place) {
  const int offset = variable.slots > 1 ? place : 0;
  return offset < 0 || offset >= variable.slots
             ? -1
             : answers[static_cast<std::size_t>(variable.first_slot + offset)];
}

int most_places(const RuleBase& base, const Condition& condition) {
  if (condition.kind == Condition::Kind::test)
    return base.variables[static_cast<std::size_t>(condition.variable)].slots;
  int out = 1;
  for (const Condition& part : condition.parts) out = std::max(out, most_places(base, part));
  return out;
}

}  // namespace

Truth truth_at(const RuleBase& base, const Condition& condition, const Answers& answers,
               int place) {
  return read_condition(condition, [&](int variable) {
    return answer_at(base.variables[static_cast<std::size_t>(variable)], answers, place);
  });
}

Truth truth_somewhere(const RuleBase& base, const Condition& condition, const Answers& answers) {
  bool hangs_on_place = false;
  Truth out = read_condition(condition, [&](int which) {
    const Variable& variable = base.variables[static_cast<std::size_t>(which)];
    hangs_on_place = hangs_on_place || variable.slots > 1;
    return answer_at(variable, answers, 0);
  });
  if (!hangs_on_place || out == Truth::yes) return out;
  const int places = most_places(base, condition);
  for (int place = 1; place < places; ++place) {
    const Truth here = truth_at(base, condition, answers, place);
    if (here == Truth::yes) return here;
    if (here == Truth::unknown) out = here;
  }
  return out;
}

}  // namespace perrev
