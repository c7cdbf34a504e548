// What one round of a case says of the lines that causes may shake on.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/casefile/vehicle_of.h"
#include "engine/providers/orders_beat.h"
#include "engine/providers/orders_feel.h"
#include "engine/providers/orders_lines.h"
#include "engine/providers/orders_peaks.h"

namespace perrev {

// What of a rule base lines are held against.
struct OrdersBook {
  explicit OrdersBook(const RuleBase& base);

  VehicleFactIndices vehicle;
  int frequency = -1;  // fact
  FeltFact felt;
  std::vector<double> felt_base;
  BeatFact beat;
  std::vector<int> facts;  // those three, as far as there are such, ascending
  ShakeBook shakes;
};

// A line of a cause in this round: index into OrdersRound::lines(), and its share of the cause.
struct RoundLine {
  std::size_t line = 0;
  double share = 0.0;
};

class OrdersRound {
 public:
  // The reading of `but` is left out, as if it were not known yet; what it would say is told all
  // the same. All must outlive it.
  OrdersRound(const OrdersBook& book, const RuleBase& base, const CaseFacts& facts,
              std::size_t round, int but = -1);
  OrdersRound(const OrdersRound&) = delete;
  OrdersRound& operator=(const OrdersRound&) = delete;

  std::vector<int> known_facts() const;
  // Whether lines can be computed at all.
  bool computes_lines() const { return !round_.lines.empty() || round_.moment; }
  const std::vector<CauseLine>& lines() const { return lines_; }
  std::vector<RoundLine> lines_of(const ShakeBook::Mix& mix) const;
  // Whether a measured frequency can be held against them: all of them are computed.
  bool all_computed(const std::vector<RoundLine>& lines) const;

  // For each of a cause's lines, over not_listed: P(what is known | line).
  std::vector<double> likelihoods(const std::vector<RoundLine>& lines) const;
  // The same by one fact alone; of the last two 1 where it is not known.
  std::vector<double> by_peaks(const std::vector<RoundLine>& lines) const;
  double by_feel(const CauseLine& line) const;
  double by_beat(const CauseLine& line) const;
  // Which of them say something.
  bool measures(const std::vector<RoundLine>& lines) const;
  bool feels() const { return answer_ >= 0; }
  bool beats() const { return period_.has_value(); }
  const std::vector<Peak>& peaks() const { return peaks_; }

  // P(answer | line), in the order of the fact's answers; of bands where the period is not known.
  std::vector<double> felt_answers(const CauseLine& line) const;
  std::vector<double> beat_bands(const CauseLine& line) const;

 private:
  // Null where it is not known.
  const Reading* known(int fact) const;
  // Known, or what it would say may be asked.
  bool asked(int fact) const { return fact >= 0 && (fact == but_ || known(fact)); }
  std::optional<double> period_known() const;
  RoundLines lines_of_vehicle(const RuleBase& base) const;
  // P(answers known of the line | it), over not_listed: how fast it feels and how it swells.
  double by_answers(std::size_t line) const;

  const OrdersBook& book_;
  const RoundFacts& seen_;
  const int but_;
  const UsualTurns usual_;
  RoundLines round_;
  std::vector<CauseLine> lines_;
  std::vector<std::size_t> first_;  // of each line of the book, index into lines_; and one more
  std::vector<Peak> peaks_;
  std::vector<FeltMoment> moments_;
  int answer_ = -1;  // of how fast it feels
  std::optional<double> period_;
  BeatFact beat_;  // around the period where it is known
  BeatModel beats_;
  // Found where they are first asked for.
  mutable std::map<std::pair<std::string, double>, FeltSource> felt_;
  mutable std::vector<std::optional<double>> by_answers_;
};

}  // namespace perrev
