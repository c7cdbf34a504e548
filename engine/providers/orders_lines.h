// The lines that a cause may shake on in one round of a case: the one hidden thing behind all that
// is said of how fast it shakes.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"
#include "engine/providers/orders_feel.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

struct CauseLine {
  std::string source;  // a word of the rule base, as in OrderLine
  double order = 1.0;
  double order_spread = 0.0;   // sd of ln(order); 0 unless the number of cylinders is not known
  double share = 0.0;          // of the cause's complaints; sums to 1 over its lines
  std::optional<Estimate> hz;  // when the frequency was read; empty: cannot be computed
  bool usual = false;          // that frequency is of typical vehicles

  std::string about() const;  // "tire order 1"
};

// The vehicle of a round, and what turns how fast when its frequency was read.
struct RoundLines {
  VehicleFacts vehicle;
  std::vector<OrderLine> lines;
  // Where the vehicle moved: the same with what typical vehicles have in place of what is not
  // known.
  std::optional<FeltMoment> moment;
};
RoundLines round_lines(const RuleBase& base, const CaseFacts& facts, std::size_t round);
// Of a vehicle that moves so; `usual` of what it does not tell.
RoundLines lines_at(const VehicleFacts& vehicle, const Motion& motion, const UsualTurns& usual);

// Lines of one part at every order of a range share the range's probability, and so do parts of
// one source that turn differently. A part that cannot be computed goes by typical vehicles; where
// no speed is known either, it is one line all the same. Empty for a cause without `shakes`.
std::vector<CauseLine> cause_lines(const Cause& cause, const RoundLines& round);

// Whether a measured frequency can be held against the lines: all of them are computed.
bool all_computed(const std::vector<CauseLine>& lines);

}  // namespace perrev
