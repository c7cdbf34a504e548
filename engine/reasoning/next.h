// What to do next: of the offered checks, those that tell most a minute.
//
// Worth of a check = expected drop in the entropy of the causes, in bits, summed over the facts it
// would teach (an upper bound, capped by the entropy there is), over its minutes with set-up.
// Answers are predicted from the single causes and `not_listed`; pairs are left out here.
#pragma once

#include <string>
#include <vector>

#include "engine/reasoning/offers.h"
#include "engine/reasoning/ranking.h"

namespace perrev {

struct NextCheck {
  int check = -1;
  double bits = 0.0;     // expected drop in entropy
  double minutes = 0.0;  // with set-up
  int fact = -1;         // the fact that tells most
  std::string why;
};

struct NextSteps {
  std::vector<NextCheck> checks;  // best first, ties by id
  std::vector<int>
      unanswered;  // facts of the write-up not yet asked that would tell something, best first
};

NextSteps next_steps(const Reasoner& reasoner, const CaseFacts& facts, const Ranking& ranking,
                     const Offers& offers);

// What each answer of a fact would do to the ranking: probabilities of `causes` after each answer,
// among the single hypotheses. Exact, after repairs as well. Of a fact read per place it is the
// first place that is not known yet; where all is known, as if it were not.
struct Outcome {
  std::string answer;  // id
  std::string label;
  double probability = 0.0;          // of the answer
  std::vector<double> causes_after;  // single causes, same order as asked for
};
std::vector<Outcome> outcomes(const Reasoner& reasoner, const CaseFacts& facts,
                              const Ranking& ranking, int fact, const std::vector<int>& causes,
                              Units units = Units::us);

}  // namespace perrev
