// A simulated complaint: what is wrong is drawn from the priors, and every answer, when it is asked
// for, from the answer model given what is wrong and what was answered before.
//
// It keeps the facts as a case would, round by round, and knows of itself what is still wrong after
// each repair. The same seed and the same questions give the same complaint; the fault hangs on the
// seed alone.
#pragma once

#include <vector>

#include "engine/planning/random.h"
#include "engine/reasoning/prospect.h"

namespace perrev {

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
  // Does repairs and opens a round; the drive after it shows whether the shake is gone, less, or
  // the same.
  void repair(const std::vector<int>& repairs);
  // The bay has put right what stopped the vehicle.
  void lift_stops();

 private:
  void draw_truth();
  void answer(int fact, Asker by);
  void note_stop(int fact, const Reading& reading);

  const Reasoner* reasoner_;
  Random random_;
  double corrupted_;
  Hypothesis truth_, now_;
  CaseFacts facts_;
};

}  // namespace perrev
