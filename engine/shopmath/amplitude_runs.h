// Balancing a shaft in one plane from amplitudes alone: trial runs without phase.
//
// Weights are moments, kg m, at places as in vectors.h; amplitudes in one unit of vibration, zero
// or more, all at one speed. A run shakes with gain times |what is there + what was put on|: three
// unknown numbers, so that three runs are the fewest, and these fit two answers. Four runs (without
// weight, and the same weight at three places) settle it: the four-run method of any handbook of
// field balancing. Here any weights at any places, by least squares in the squares of amplitudes,
// each weighed by how well it is known, until amplitudes themselves fit best.
//
// Intervals are linearised: they hold 95 % while the scatter of an amplitude is a twentieth or less
// of every amplitude and of what the trial weight alone would shake; at a tenth they hold about
// 93 %, at a fifth 90 %.
#pragma once

#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

struct AmplitudeRun {
  Vector weight;  // on the shaft in this run; 0: none
  double amplitude = 0.0;
};

struct AmplitudeAnswer {
  VectorEstimate weight;  // all that belongs on the shaft, in place of trial weights
  double gain = 0.0;      // amplitude per kg m
  double misfit = 0.0;    // root mean square of amplitudes less what fits
};

struct AmplitudeCorrection {
  // One, or two that fit alike: the one with the smaller weight first. Try it: where the shaft
  // shakes more than it is said to, it is the other.
  std::vector<AmplitudeAnswer> answers;
  bool scatter_known = false;  // false: no intervals
};

// `sd`: standard deviation of an amplitude; else what more than three runs say.
Result<AmplitudeCorrection> balance_by_amplitudes(const std::vector<AmplitudeRun>& runs,
                                                  const std::optional<double>& sd);
// What a run with `weight` would read by an answer.
double expected_amplitude(const AmplitudeAnswer& answer, Vector weight);

}  // namespace perrev
