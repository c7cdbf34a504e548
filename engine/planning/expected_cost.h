// Expected minutes from a belief to a vehicle that is right, when nothing more is measured.
//
// Repairs in the order of probability over cost, each proved on the road, and the vehicle handed on
// as soon as going on costs more. For one fault and cures that do not overlap no order is better
// (Heckerman, Breese and Rommelse 1995, "expected cost of repair"); else it is what a plan costs
// that can be carried out, so never less than the best.
#pragma once

#include <vector>

#include "engine/planning/decision_model.h"

namespace perrev {

class ExpectedCost {
 public:
  // Of `model`, which must outlive it. It works in room of its own: one for each thread.
  explicit ExpectedCost(const DecisionModel& model);

  // `mass` by hypothesis need not sum to one: the result is minutes times the sum.
  double minutes(const std::vector<double>& mass);

  // What the same mass would cost somebody who knew the fault: never more than minutes().
  double minutes_if_known(const std::vector<double>& mass) const;

 private:
  struct Cure {
    int repair;
    double worth;  // 1, or less where another fault is left
  };
  void add(int hypothesis, double mass);
  void carry_out(int repair);

  const DecisionModel* model_;
  std::vector<std::vector<int>> touches_;         // by repair: hypotheses that it changes
  std::vector<std::vector<Cure>> cured_through_;  // by hypothesis
  std::vector<double> if_known_;                  // by hypothesis
  std::vector<double> left_;                      // by hypothesis
  std::vector<double> cured_;                     // by repair: what it would cure of what is left
  double total_ = 0.0, handed_on_ = 0.0, known_ = 0.0;  // of what is left
  std::vector<int> open_;                               // repairs that may be worth something
};

}  // namespace perrev
