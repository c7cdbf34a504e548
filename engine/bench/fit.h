// What closed cases teach a rule base: how usual causes are, and how strongly its rules speak.
//
// Only ever a proposal. The rule base's own opinion counts as so many cases beside those that were
// closed (a Dirichlet prior about it; Gelman et al., Bayesian Data Analysis, 3rd ed., 3.4 and 5.3),
// so that few cases change little. How usual a cause is stands for `FitPrior::usual` cases of that
// cause. A strength stands for as many as leave it open by `FitPrior::strength`; it moves to where
// the cases and these are most probable, and stays on its side, for or against.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/claim.h"
#include "engine/bench/closed_case.h"

namespace perrev {

// From memory, and by what brings a disturbed rule base back (docs/trainer.md).
struct FitPrior {
  double usual = 1.6;      // good to a factor of 2: of a gamma density of that shape
  double strength = 0.35;  // standard deviation of the logarithm of a strength
};

struct UsualFit {
  int cause = -1;
  double from = 0.0, to = 0.0;  // per thousand complaints; `to` may be off by a common factor
  double cases = 0.0;           // closed with it, alone or with another
  double expected = 0.0;        // that the rule base would have had among as many
};

// Closed cases with one of a claim's causes alone, in which something that its rule reads is known.
struct StrengthFit {
  std::size_t claim = 0;   // index into the claims
  double log_ratio = 0.0;  // proposed, on the claim's side
  int cases = 0;
  double stands_for = 0.0;            // how many cases the claim itself counts for
  double held = 0.0, expected = 0.0;  // in how many its rule holds, and was expected to
};

struct Fit {
  std::vector<UsualFit> usual;         // of every cause, in their order
  std::vector<StrengthFit> strengths;  // of every claim with cases, in their order
};

Fit fit(const RuleBase& base, const std::vector<Claim>& claims,
        const std::vector<ClosedCase>& cases, const FitPrior& prior = {});

}  // namespace perrev
