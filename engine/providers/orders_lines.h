// The lines that causes may shake on: those of a rule base, each once, and where they lie in one
// round of a case. A line is the one hidden thing behind all that is said of how fast it shakes.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"
#include "engine/providers/orders_feel.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

// A line as the rule base tells it: one order of a source, on any vehicle.
struct ShakeLine {
  std::string source;
  Shake::Kind kind = Shake::Kind::number;
  double order = 1.0;    // of kind number
  bool by_size = false;  // of a cause that is just that two tires are not of one size

  bool operator==(const ShakeLine&) const = default;
};

// The lines of all causes. Orders of a range share the range's probability.
struct ShakeBook {
  explicit ShakeBook(const RuleBase& base);

  struct Part {
    std::size_t line = 0;  // index into `lines`
    double share = 0.0;

    bool operator==(const Part&) const = default;
  };
  using Mix = std::vector<Part>;  // shares sum to 1; empty for causes without `shakes`

  std::vector<ShakeLine> lines;     // each once
  std::vector<Mix> mixes;           // each once
  std::vector<std::size_t> mix_of;  // by cause
};

// A line on the vehicle of a round.
struct CauseLine {
  std::string source;  // a word of the rule base, as in OrderLine
  double order = 1.0;
  double order_spread = 0.0;   // sd of ln(order); 0 unless the number of cylinders is not known
  double share = 0.0;          // of the complaints that it is a line of
  std::optional<Estimate> hz;  // when the frequency was read; empty: cannot be computed
  bool usual = false;          // that frequency is of typical vehicles
  bool by_size = false;        // as in ShakeLine

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
// Of a vehicle that moves so; `usual` of what it does not tell.
RoundLines lines_at(VehicleFacts vehicle, const Motion& motion, const UsualTurns& usual);

// One for each part of the source that turns differently; they share `share`. A part that cannot be
// computed goes by typical vehicles; where no speed is known either, it is one line all the same.
void add_lines(const ShakeLine& told, double share, const RoundLines& round,
               std::vector<CauseLine>& out);

}  // namespace perrev
