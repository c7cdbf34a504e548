// What one round of a case says of single causes and of pairs, by rules and by providers.
#pragma once

#include <vector>

#include "engine/reasoning/ranking.h"

namespace perrev {

// Each relative to not_listed.
struct WeighedRound {
  std::vector<double> single;  // natural logarithms, by cause, then nothing_left
  PairFactors pair;            // empty where they are not wanted
  std::vector<ProviderWeights> said;
};

// Each round's own: later rounds given the facts that last with the vehicle.
std::vector<WeighedRound> weigh_rounds(const Reasoner& reasoner, const CaseFacts& facts,
                                       bool pairs);

}  // namespace perrev
