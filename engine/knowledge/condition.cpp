#include "engine/knowledge/condition.h"

#include <algorithm>
#include <utility>

#include "engine/knowledge/read_condition.h"

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

Truth Condition::read(const std::function<int(int)>& answer_of) const {
  return read_condition(*this, answer_of);
}

Truth Condition::read(const std::vector<int>& answers_by_variable) const {
  return read_condition(
      *this, [&](int which) { return answers_by_variable[static_cast<std::size_t>(which)]; });
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
