// A condition on facts: what `when`, `asked_if` and the edges of the path say.
//
// A leaf tests one variable (see rule_base.h) against a set of its answers. Reading follows
// Kleene's three-valued logic: a leaf on an unknown variable is unknown; `all` is false as soon as
// one part is false; `any` is true as soon as one part is true.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

namespace perrev {

enum class Truth { no, unknown, yes };

// A set of answers of one variable: bit i stands for answer i. A variable has at most 64 answers.
using AnswerSet = std::uint64_t;

struct Condition {
  enum class Kind { test, all, any, negation };
  Kind kind = Kind::all;         // `all` of nothing is true
  int variable = -1;             // test
  AnswerSet answers = 0;         // test
  double low = 0.0, high = 0.0;  // test on a banded number: [low, high) in SI, may be infinite
  std::vector<Condition> parts;

  static Condition test(int variable, AnswerSet answers);
  static Condition of(Kind kind, std::vector<Condition> parts);

  // `answer_of(variable)` gives the answer's index, negative when unknown.
  Truth read(const std::function<int(int)>& answer_of) const;
  // The same for a full table of answers by variable.
  Truth read(const std::vector<int>& answers_by_variable) const;

  // Each variable that occurs, sorted, once.
  std::vector<int> variables() const;
  void each_test(const std::function<void(Condition&)>& visit);
  void each_test(const std::function<void(const Condition&)>& visit) const;
};

}  // namespace perrev
