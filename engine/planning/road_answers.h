// What a check could find: P(answer | hypothesis) of everything it would learn that is not known
// yet.
//
// A hypothesis is a single cause, or RuleBase::nothing_left(). Answers are predicted given what the
// latest round knows, from the answer model, or from the provider that owns the fact. A fact read
// per place is told by "is any of the open places a yes?" where it has two answers, else by its
// first open place. `measured_frequency` is left out: its answer depends on the speed and the gear
// that are driven (road_lines.h).
#pragma once

#include <vector>

#include "engine/reasoning/ranking.h"

namespace perrev {

struct AnswerTable {
  int fact = -1;
  int variable = -1;                      // -1 where a provider made the answers
  std::vector<std::vector<double>> rows;  // one a hypothesis; each sums to one
};

// In the order of the facts that the check learns, and of their variables.
std::vector<AnswerTable> answers_to_learn(const Reasoner& reasoner, const CaseFacts& facts,
                                          int check, const std::vector<int>& hypotheses);

// Half the sum of the differences of two distributions: of a hundred vehicles with the one cause
// and a hundred with the other, so many answer differently. 0 to 1.
double total_variation(const std::vector<double>& one, const std::vector<double>& other);

}  // namespace perrev
