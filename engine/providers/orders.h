// What is said of how fast it shakes, through the order lines of the vehicle.
//
// Owns three facts: `measured_frequency`, for every cause; `how_fast` and `beat_period`, for causes
// with `shakes`. Behind all that one round says of them is one hidden line of the cause:
//     P(all | cause) = sum over its lines of share * P(how fast it feels | line)
//                      * P(peaks of the recording | line) * P(period of swelling | line)
// so no fact is counted twice, and each factor sums to one over its answers. Under `not_listed` the
// answers have their base rates and a frequency is log-uniform from 1 to 200 Hz. Models of the
// three: orders_feel.h, orders_peaks.h, orders_beat.h. What of the vehicle is not known goes by
// typical vehicles, with their spread; where no speed is known either, a frequency says nothing of
// a cause with a line that cannot be computed.
#pragma once

#include "engine/providers/made_once.h"
#include "engine/providers/orders_peaks.h"
#include "engine/reasoning/provider.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

struct OrdersBook;

class OrdersProvider : public Provider {
 public:
  std::string name() const override { return "orders"; }
  std::vector<int> facts(const RuleBase& base) const override;
  ProviderWeights weigh(const RuleBase& base, const CaseFacts& facts,
                        std::size_t round) const override;
  std::string because(const RuleBase& base, const CaseFacts& facts, std::size_t round,
                      int cause) const override;
  // Given what else the round says of the line. A frequency over bands even in the logarithm,
  // `how_fast` over its answers, `beat_period` over the bands of its base rates.
  ProviderTable expect(const RuleBase& base, const CaseFacts& facts, int variable) const override;

 private:
  MadeOnce<OrdersBook> book_;
};

// One way a vibration at a measured frequency can be explained; probabilities over all lines and
// "unexplained" sum to one.
struct ExplainedLine {
  OrderLine line;
  double probability = 0.0;
};
struct Explanation {
  std::vector<ExplainedLine> lines;  // in the order given
  double unexplained = 1.0;
};
// `measured` and `sd` in Hz. Every line as likely before.
Explanation explain_frequency(const std::vector<OrderLine>& lines, double measured, double sd);
// The same with what was likely before: one for each line, `unexplained` for anything else.
Explanation explain_frequency(const std::vector<OrderLine>& lines, double measured, double sd,
                              const std::vector<double>& before, double unexplained);

}  // namespace perrev
