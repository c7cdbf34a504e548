// What an answer not known yet will be, given what is wrong: P(answer | hypothesis, what is known).
//
// Exact, for single causes and pairs: the answer model of the group, or of the component of the
// pair, that the variable belongs to, with what is known of it now. The past of earlier rounds does
// not enter: it is in the probability of the hypothesis.
#pragma once

#include <vector>

#include "engine/reasoning/ranking.h"

namespace perrev {

// What is there now: one cause, two, RuleBase::nothing_left() as `first`, or none of the list.
struct Hypothesis {
  int first = -1;   // -1: not listed
  int second = -1;  // greater than first; -1: alone

  bool operator==(const Hypothesis& o) const { return first == o.first && second == o.second; }
};

// P(known | hypothesis) / P(known | not listed), of the part of the model that `variable` is in.
double value_around(const Reasoner& reasoner, const Hypothesis& hypothesis, int variable,
                    const Answers& answers);

// P(answer) of a variable at a slot (Variable::first_slot + place) that is not known.
std::vector<double> prospect(const Reasoner& reasoner, const Hypothesis& hypothesis, int variable,
                             std::size_t slot, const Answers& answers);
// The same into `out`, with `answers` as room: it is left as it was.
void prospect(const Reasoner& reasoner, const Hypothesis& hypothesis, int variable,
              std::size_t slot, Answers& answers, double* out);

}  // namespace perrev
