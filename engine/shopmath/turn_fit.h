// Readings round one turn as a mean and harmonics, by least squares.
//
//     reading at a = mean + sum over k of (x_k cos(k a) + y_k sin(k a)) + scatter
// Angles in rad from the mark; readings in any unit, amounts in the same. A harmonic's vector is an
// amplitude (x_k, y_k); its peak to peak is twice the amount. Evenly spaced readings cannot tell
// harmonic k from n - k: n places see the (n - 1)th as the first.
//
// Scatter is what is known of the gauge's repeatability, with its step; where nothing is known, or
// where the readings scatter far more than the gauge does (99.9 %, chi-squared), it is learned from
// the residuals, and is never less than the step brings by itself.
//
// A reading stands out where its studentised residual does: external, Student's t with Bonferroni's
// bound (Cook and Weisberg 1982, section 2.2; from memory), up to three taken out in turn, each at
// 0.5 % for all readings together (Rosner 1983; NIST/SEMATECH 1.3.5.17.3). Readings that only
// scatter stand out in 1 to 2 of 100 turns. It is told and stays in the fit.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

inline constexpr std::size_t kFewestReadings = 4, kMostReadings = 36;

struct TurnReadings {
  std::vector<double> readings;       // in the order they were taken
  std::vector<double> angles = {};    // rad, 0 up to a turn; empty: evenly round from the mark
  Gauge gauge = {};                   // without repeatability: not known
  std::optional<int> harmonics = {};  // how many; none: see below
};

struct Harmonic {
  int order = 1;
  VectorEstimate vector;  // amplitude at its first high place times `order`

  Interval peak_to_peak() const;
  double high_place() const;       // 0 up to a turn over `order`: the first of `order` high places
  double high_half_width() const;  // of 95 %; a whole half of their distance where it is not known
};

struct OddReading {
  std::size_t reading = 0;  // index
  double off = 0.0;         // reading less what all the others fit
};

struct TurnFit {
  std::vector<double> angles;  // of the readings
  Interval mean;
  std::vector<Harmonic> harmonics;  // from the first up
  // Highest less lowest reading. Where others come near the ends, the low end gives way to the
  // chance that scatter picked them.
  Interval spread;
  std::vector<double> residuals;
  Scatter scatter;
  int freedom = 0;
  bool rougher_than_gauge = false;
  bool can_tell_odd = false;  // three degrees of freedom are there
  std::vector<OddReading> odd;

  double at(double angle) const;
};

// Without `harmonics`: one for every four readings, one to four, so that half of the readings or
// nearly so are left to tell scatter and readings that stand out; fewer where the places do not
// settle more. With it: up to half of the readings less one, and one degree of freedom less where
// the scatter is unknown.
Result<TurnFit> fit_turn(const TurnReadings& of);

// Step and repeatability are numbers from zero up; nothing where they are.
std::optional<Problem> wrong_gauge(const Gauge& gauge);

}  // namespace perrev
