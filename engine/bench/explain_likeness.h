// What a cause makes people answer, and which other causes make them answer alike.
//
// A fact read per wheel, axle or shaft is read here where the fault sits; what a provider computes
// is left out.
#pragma once

#include <vector>

#include "engine/reasoning/answer_model.h"

namespace perrev {

// One variable of a group of a cause.
struct GivenAnswers {
  int variable = -1;
  int group = -1;     // of AnswerModel::groups(cause)
  bool alone = true;  // its group has no other variable
  std::vector<double>
      probability;  // P(answer | cause), by answer; the rest of the group summed out
};
// In the order of groups and their variables. `cause` may be RuleBase::nothing_left().
std::vector<GivenAnswers> answers_given(const AnswerModel& model, int cause);

// Another cause, and the most often the two can be taken for each other if both are as probable
// beforehand and every question is answered: half the sum over all answer sheets of
// sqrt(P(sheet | one) P(sheet | other)) (Bhattacharyya 1943, as a bound on errors Kailath 1967).
struct Rival {
  int cause = -1;
  double mistaken = 0.0;  // 0 .. 0.5
};
// All other causes, hardest to tell apart first.
std::vector<Rival> rivals_of(const AnswerModel& model, int cause);

}  // namespace perrev
