// A simulated complaint: what is wrong is drawn from the priors, and every answer, when it is asked
// for, from the answer model given what is wrong and what was answered before.
//
// It keeps the facts as a case would, round by round, and knows of itself what is still wrong after
// each repair. The fault hangs on the seed alone, and every answer has its own stream of the seed:
// two who ask in different orders meet the same vehicle, as far as answers are not tied together.
#pragma once

#include <cstdint>
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
  std::uint64_t seed_;
  double corrupted_;
  Hypothesis truth_, now_;
  CaseFacts facts_;
};

}  // namespace perrev
