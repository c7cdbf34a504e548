#include "engine/casefile/verdicts.h"

#include <algorithm>
#include <set>

namespace perrev {

namespace {

const Variable& variable_of(const RuleBase& base, int variable) {
  return base.variables[static_cast<std::size_t>(variable)];
}

// False where it holds at no place, as its first test tells of nearly all.
bool may_hold(const RuleBase& base, const Condition& condition, const Answers& answers) {
  if (condition.kind == Condition::Kind::all)
    return condition.parts.empty() || may_hold(base, condition.parts.front(), answers);
  if (condition.kind != Condition::Kind::test) return true;
  const Variable& variable = variable_of(base, condition.variable);
  const auto first = answers.begin() + variable.first_slot;
  return std::any_of(first, first + variable.slots, [&](int answer) {
    return answer >= 0 && ((condition.answers >> answer) & 1u);
  });
}

// What the check learns that the verdict speaks of was read by somebody who can do the check.
bool shown_in(const RuleBase& base, const RoundFacts& round, const Check& check,
              const Condition& verdict) {
  if (!may_hold(base, verdict, round.answers) ||
      truth_somewhere(base, verdict, round.answers) != Truth::yes)
    return false;
  const auto read_there = [&](int of) {
    return std::any_of(round.readings.begin(), round.readings.end(), [&](const Reading& r) {
      return r.fact == of && !r.unsure && r.by >= check.by;
    });
  };
  const std::vector<int> variables = verdict.variables();
  return std::all_of(variables.begin(), variables.end(), [&](int v) {
    const int of = variable_of(base, v).fact;
    const bool learned =
        std::find(check.learns.begin(), check.learns.end(), of) != check.learns.end();
    return !learned || read_there(of);
  });
}

}  // namespace

void find_verdicts(const RuleBase& base, CaseFacts& facts) {
  std::set<int> shown;
  for (RoundFacts& round : facts.rounds) {
    for (const int repair : round.opened_by)
      for (const int cured : base.repairs[static_cast<std::size_t>(repair)].cures)
        shown.erase(cured);
    for (std::size_t c = 0; c < base.checks.size(); ++c)
      for (const auto& [cause, verdict] : base.checks[c].confirms)
        if (shown_in(base, round, base.checks[c], verdict)) {
          shown.insert(cause);
          round.shown.push_back({cause, static_cast<int>(c)});
        }
  }
  facts.verdicts.assign(shown.begin(), shown.end());
}

}  // namespace perrev
