#include "src/answers/typed_answer.h"

#include <algorithm>

#include "engine/quantity/text.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

std::vector<std::string> split_at_commas(const std::string& text) {
  std::vector<std::string> out;
  std::size_t at = 0;
  while (at <= text.size()) {
    const std::size_t end = std::min(text.find(',', at), text.size());
    const std::string part(trimmed(std::string_view(text).substr(at, end - at)));
    if (!part.empty()) out.push_back(part);
    at = end + 1;
  }
  return out;
}

// The id meant by a number, an id, the words shown, or a beginning that only one of them has.
Result<std::string> one_answer(const Fact& fact, const std::string& typed) {
  if (typed.size() < 4 && typed.find_first_not_of("0123456789") == std::string::npos) {
    const std::size_t number = static_cast<std::size_t>(std::stoi(typed));
    if (number >= 1 && number <= fact.answers.size()) return fact.answers[number - 1].id;
    return problem("there is no answer " + typed, "1 to " + std::to_string(fact.answers.size()));
  }
  const std::string word = lower_case(typed);
  std::vector<std::string> known, begins;
  for (const Answer& answer : fact.answers) {
    if (word == answer.id || word == lower_case(answer.label)) return answer.id;
    if (answer.id.rfind(word, 0) == 0 || lower_case(answer.label).rfind(word, 0) == 0)
      begins.push_back(answer.id);
    known.push_back(answer.id);
    known.push_back(answer.label);
  }
  if (begins.size() == 1) return begins.front();
  if (!begins.empty())
    return problem(perrev::quoted(typed) + " can mean more than one answer", "its number");
  return problem(perrev::quoted(typed) + " is none of the answers",
                 near_or(word, known, "its number, or unsure, skip, back, why, done"));
}

}  // namespace

Result<std::vector<std::string>> read_typed(const Fact& fact, const std::string& typed_raw,
                                            Units units) {
  const std::string typed(trimmed(typed_raw));
  if (fact.kind == FactKind::text) {
    if (typed.empty()) return problem("nothing was typed", "a few words, or skip");
    return std::vector<std::string>{typed};
  }
  if (fact.kind == FactKind::number) {
    std::vector<std::string> values;
    for (const std::string& part : split_at_commas(typed)) {
      const std::string unit = fact.asked_unit(units);
      const auto value = parse_quantity_in(part, fact.unit, unit);
      if (!value) return value.error();
      const bool bare = parse_decimal(part).has_value();
      values.push_back(bare && !unit.empty() ? part + " " + unit : part);
    }
    if (values.empty()) return problem("nothing was typed", "a number, or unsure");
    return values;
  }
  if (fact.kind == FactKind::several) {
    std::vector<std::string> values;
    if (lower_case(typed) == "none") return values;
    for (const std::string& part : split_at_commas(typed)) {
      const auto id = one_answer(fact, part);
      if (!id) return id.error();
      if (std::find(values.begin(), values.end(), *id) == values.end()) values.push_back(*id);
    }
    if (values.empty()) return problem("nothing was typed", "numbers with commas, none, or unsure");
    return values;
  }
  if (typed.empty()) return problem("nothing was typed", "an answer, or unsure");
  if (fact.kind == FactKind::yesno) {
    const std::string word = lower_case(typed);
    if (word == "y" || word == "yes") return std::vector<std::string>{"yes"};
    if (word == "n" || word == "no") return std::vector<std::string>{"no"};
    return problem(perrev::quoted(typed) + " is neither yes nor no", "yes, no or unsure");
  }
  const auto id = one_answer(fact, typed);
  if (!id) return id.error();
  return std::vector<std::string>{*id};
}

std::string question_text(const Fact& fact, const std::string& place, Units units) {
  std::string out = wrapped(fact.ask + (place.empty() ? "" : " [" + spaced(place) + "]"), 0, 0);
  if (fact.kind == FactKind::one || fact.kind == FactKind::several)
    for (std::size_t i = 0; i < fact.answers.size(); ++i)
      out += wrapped(std::to_string(i + 1) + "  " + fact.answers[i].label, i < 9 ? 4 : 3, 7);
  if (fact.kind == FactKind::several) out += "    (several with commas, or none)\n";
  if (fact.kind == FactKind::yesno) out += "    (yes or no)\n";
  if (fact.kind == FactKind::number) {
    const std::string unit = fact.asked_unit(units);
    out += "    (a number" +
           (unit.empty() ? std::string() : "; without a unit it is taken as " + unit) + ")\n";
  }
  return out;
}

}  // namespace perrev
