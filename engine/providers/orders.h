// What a measured frequency says, through the order lines of the vehicle.
//
// Owns `measured_frequency`; no rule may speak of it. Under such a cause the frequency
// lies on one of its lines, with the uncertainty of the line (speed, tire) and of the reading; one
// time in ten it is something else that was measured. Under `not_listed`, and for causes without an
// order, it is log-uniform from 1 to 200 Hz. Lines come from vehicle/rotation.h; where the vehicle
// is not known well enough to compute a line of the cause, the provider says nothing about it.
#pragma once

#include "engine/reasoning/provider.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

class OrdersProvider : public Provider {
 public:
  std::string name() const override { return "orders"; }
  std::vector<int> facts(const RuleBase& base) const override;
  ProviderWeights weigh(const RuleBase& base, const CaseFacts& facts,
                        std::size_t round) const override;
  ProviderTable expect(const RuleBase& base, const CaseFacts& facts, int variable) const override;
};

// One way a vibration at a measured frequency can be explained; probabilities over all lines and
// "unexplained" sum to one, every line as likely before.
struct ExplainedLine {
  OrderLine line;
  double probability = 0.0;
};
struct Explanation {
  std::vector<ExplainedLine> lines;  // in the order given
  double unexplained = 1.0;
};
// `measured` and `sd` in Hz.
Explanation explain_frequency(const std::vector<OrderLine>& lines, double measured, double sd);

// Standard deviation of a frequency read by a person or an instrument: 2 % and at least 0.2 Hz.
double reading_sd(double hz);

}  // namespace perrev
