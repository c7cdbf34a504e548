// One axis of a recording through a frequency weighting, sample by sample in time.
//
// The exact response of physics/weighting.h, phase and all, by overlap and save (T. G. Stockham,
// AFIPS Spring Joint Computer Conference 28 (1966) 229): no corner is warped, whatever the rate.
// What lies above half the rate is not in the recording, and so not in what comes out.
#pragma once

#include <complex>
#include <cstddef>
#include <kissfft/kissfft.hh>
#include <vector>

#include "engine/physics/weighting.h"

namespace perrev {

// s; after it the highest pass at 0.4 Hz has forgotten what was before the first sample to 1/1,000.
inline constexpr double kSettling = 4.0;

class WeightingFilter {
 public:
  // `rate` in Hz, above 0.
  WeightingFilter(Weighting weighting, double rate);

  // Both append what is ready to `out`: as many values as were taken, later. Before the first
  // sample the recorder is supposed to have lain still at the mean of the first seconds.
  void take(const std::vector<double>& samples, std::vector<double>& out);
  // The rest. The next sample taken is the first of another stretch.
  void finish(std::vector<double>& out);
  // The same where nobody wants the rest.
  void restart();

 private:
  void filter(std::vector<double>& out);

  std::size_t half_;           // of the samples of a block
  std::size_t memory_;         // samples at its begin whose past is not in the block
  std::size_t ahead_;          // at its end, whose future is not
  std::size_t filled_;         // samples of the block
  bool fresh_ = true;          // nothing was filtered yet: no past is known
  std::vector<double> block_;  // samples
  std::vector<std::complex<double>> response_;  // by line, 0 to half_
  std::vector<std::complex<double>> lines_, folded_;
  std::vector<std::complex<double>> turns_;  // exp(i pi k / half_)
  kissfft<double> forward_, back_;
};

}  // namespace perrev
