#include "engine/knowledge/condition.h"

#include <algorithm>
#include <utility>

namespace perrev {

Condition Condition::test(int variable, AnswerSet answers) {
  Condition made;
  made.kind = Kind::test;
  made.variable = variable;
  made.answers = answers;
  return made;
}

Condition Condition::of(Kind kind, std::vector<Condition> parts) {
  Condition made;
  made.kind = kind;
  made.parts = std::move(parts);
  return made;
}

namespace {

template <class AnswerOf>
Truth read_with(const Condition& condition, const AnswerOf& answer_of) {
  switch (condition.kind) {
    case Condition::Kind::test: {
      const int answer = answer_of(condition.variable);
      if (answer < 0) return Truth::unknown;
      return (condition.answers >> answer) & 1u ? Truth::yes : Truth::no;
    }
    case Condition::Kind::negation: {
      const Truth inner = read_with(condition.parts.front(), answer_of);
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
    const Truth truth = read_with(part, answer_of);
    if (truth == decides) return decides;
    if (truth == Truth::unknown) out = Truth::unknown;
  }
  return out;
}

}  // namespace

Truth Condition::read(const std::function<int(int)>& answer_of) const {
  return read_with(*this, answer_of);
}

Truth Condition::read(const std::vector<int>& answers_by_variable) const {
  return read_with(*this,
                   [&](int which) { return answers_by_variable[static_cast<std::size_t>(which)]; });
}

void Condition::each_test(const std::function<void(Condition&)>& visit) {
  if (kind == Kind::test) visit(*this);
  for (Condition& part : parts) part.each_test(visit);
}

void Condition::each_test(const std::function<void(const Condition&)>& visit) const {
  if (kind == Kind::test) visit(*this);
  for (const Condition& part : parts) part.each_test(visit);
}

std::vector<int> Condition::variables() const {
  std::vector<int> found;
  each_test([&](const Condition& leaf) { found.push_back(leaf.variable); });
  std::sort(found.begin(), found.end());
  found.erase(std::unique(found.begin(), found.end()), found.end());
  return found;
}

}  // namespace perrev
