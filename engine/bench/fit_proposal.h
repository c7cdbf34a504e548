// What of a fit is worth writing down: as changes to a rule base, and as edits of its files.
#pragma once

#include "engine/bench/fit.h"
#include "engine/bench/scalar_edit.h"

namespace perrev {

// A change of less than this, in the natural logarithm (about a tenth), is left out.
inline constexpr double kLeastChange = 0.1;

struct Proposal {
  struct Usual {
    UsualFit fit;
    NumberWord to;  // a word of strengths.yaml where one is near, else two digits
  };
  struct Strength {
    StrengthFit fit;
    NumberWord to;
  };
  std::vector<Usual> usual;
  std::vector<Strength> strengths;

  bool empty() const { return usual.empty() && strengths.empty(); }
};

enum class Learns { all, usual, strengths };

// The largest changes first.
Proposal propose(const RuleBase& base, const std::vector<Claim>& claims, const Fit& learned,
                 Learns learns = Learns::all);

RuleBase proposed(const RuleBase& base, const std::vector<Claim>& claims, const Proposal& proposal);

std::vector<ScalarEdit> edits_of(const Written& written, const std::vector<Claim>& claims,
                                 const Proposal& proposal);

// Log loss of each case left out (the `fold`th of every `folds`), by the rule base and by what the
// rest teaches.
struct HeldOut {
  double before = 0.0, after = 0.0;
};
std::vector<HeldOut> held_out(const RuleBase& base, const std::vector<Claim>& claims,
                              const std::vector<ClosedCase>& cases, std::size_t fold,
                              std::size_t folds, Learns learns = Learns::all);

// The mean of before - after, and its standard error; both 0 where there are less than two.
struct Gain {
  double mean = 0.0, error = 0.0;
};
Gain gain_of(const std::vector<HeldOut>& cases);

}  // namespace perrev
