// A simulated complaint: what is wrong is drawn from the priors, and every answer, when it is asked
// for, from the answer model, or the provider that owns the fact, given what is wrong and what was
// answered before.
//
// It keeps the facts as a case would, round by round, and knows of itself what is still wrong after
// each repair. The fault hangs on the seed alone, and every answer has its own stream of the seed:
// two who ask in different orders meet the same vehicle, as far as answers are not tied together.
#pragma once

#include <cstdint>
#include <vector>

#include "engine/random.h"
#include "engine/reasoning/prospect.h"

namespace perrev {

// A case of which nothing is known yet.
CaseFacts nothing_known(const RuleBase& base);
// Puts an answer that is not there yet into the round of now, with all that follows from it.
void enter_reading(const RuleBase& base, CaseFacts& facts, Reading made);
// The round after repairs; `says` is the answer of complaint_now, where the rule base asks it;
// unsure, where it knows no such answer.
void open_round(const RuleBase& base, CaseFacts& facts, const std::vector<int>& repairs,
                const char* says);

class Complaint {
 public:
  // `corrupted` is the share of answers replaced by one drawn evenly from all.
  Complaint(const Reasoner& reasoner, std::uint64_t seed, double corrupted = 0.0);

  const Hypothesis& truth() const { return truth_; }
  const Hypothesis& now() const { return now_; }
  bool is_right() const;  // nothing left that is listed, and something was there
  const CaseFacts& facts() const { return facts_; }

  // Does the check: every fact that it learns and that may be asked gets an answer at every place.
  void learn(int check);
  // The fact gets an answer at every place, if it may be asked and has none yet.
  void answer(int fact, Asker by);
  // Does repairs, which cure what they say and the causes of `also`, and opens a round; the drive
  // after it shows what is returned: "gone", "less" or "same".
  const char* repair(const std::vector<int>& repairs, const std::vector<int>& also = {});
  // The bay has put right what stopped the vehicle.
  void lift_stops();

 private:
  void draw_truth();
  int draw(int fact, int variable, std::size_t slot, Random& random, Reading& made) const;

  const Reasoner* reasoner_;
  std::uint64_t seed_;
  double corrupted_;
  Hypothesis truth_, now_;
  CaseFacts facts_;
};

}  // namespace perrev
