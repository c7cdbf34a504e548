// Condition::read for whoever reads very many: `answer_of(variable)` is called directly, and not
// through std::function.
#pragma once

#include "engine/knowledge/condition.h"

namespace perrev {

template <class AnswerOf>
Truth read_condition(const Condition& condition, const AnswerOf& answer_of) {
  switch (condition.kind) {
    case Condition::Kind::test: {
      const int answer = answer_of(condition.variable);
      if (answer < 0) return Truth::unknown;
      return (condition.answers >> answer) & 1u ? Truth::yes : Truth::no;
    }
    case Condition::Kind::negation: {
      const Truth inner = read_condition(condition.parts.front(), answer_of);
      if (inner == Truth::unknown) return inner;
      return inner == Truth::yes ? Truth::no : Truth::yes;
    }
    case Condition::Kind::all:
    case Condition::Kind::any:
      break;
  }
  const bool all = condition.kind == Condition::Kind::all;
  const Truth decides = all ? Truth::no : Truth::yes;
  Truth out = all ? Truth::yes : Truth::no;
  for (const Condition& part : condition.parts) {
    const Truth truth = read_condition(part, answer_of);
    if (truth == decides) return decides;
    if (truth == Truth::unknown) out = Truth::unknown;
  }
  return out;
}

}  // namespace perrev
