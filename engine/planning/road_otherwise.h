// Where the road does not tell: the checks that tell two suspects apart without a drive, and what
// has to be looked at before one.
#pragma once

#include <vector>

#include "engine/planning/road_choice.h"
#include "engine/reasoning/offers.h"
#include "engine/reasoning/ranking.h"

namespace perrev {

// How far apart the answers of a check set each pair of suspects (total variation of the one thing
// that sets them furthest apart), by pair; a recorded frequency aside.
std::vector<double> apart_by_answers(const Reasoner& reasoner, const CaseFacts& facts, int check,
                                     const std::vector<int>& suspects);

// Checks of the bay that stand still, are not done and can be done by this shop.
class BayChecks {
 public:
  BayChecks(const Reasoner& reasoner, const CaseFacts& facts, const Offers& offers,
            const std::vector<int>& suspects);

  // The one that tells a pair apart (kTellsApart): an offered one before others, then the one that
  // tells most a minute, set-up included; -1 where there is none.
  int telling(std::size_t pair) const;
  // Those that could show the cause, the quickest first.
  std::vector<int> showing(int cause) const;

 private:
  struct Bay {
    int check = -1;
    bool offered = false;
    double minutes = 0.0;       // with set-up
    std::vector<double> apart;  // by pair
  };
  const RuleBase& base_;
  std::vector<Bay> checks_;
};

}  // namespace perrev
