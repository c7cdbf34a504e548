// One order followed: its amplitude and phase where the part was driven at each speed.
//
// The samples of road or engine turn are kept, as floats; for a line they are turned back by its
// phase, which leaves it standing still, and averaged under Hann windows of kTrackLines blocks that
// overlap by half. What the windows show a few bandwidths to both sides, the lesser of them, is
// taken for noise, and its power is taken from that of the line. Amplitudes are r.m.s. over the
// windows of a band of speed; phases are those of their mean, in the longest stretch without a gap
// alone: across a gap nobody counted the turns. A line that is off by d drifts by 2 pi d in every
// unit of the domain.
#pragma once

#include <array>
#include <complex>
#include <cstddef>
#include <vector>

#include "engine/recording/samples.h"
#include "engine/recording/spectrum.h"

namespace perrev {

class OrderTracker {
 public:
  // Samples come `rate` to a unit of the domain; those of `window` units make one window; `most`
  // values are kept, what comes later is not.
  OrderTracker(Domain domain, double rate, double window, std::size_t most);
  void take(const EvenBlock& block);
  Track track(double at) const;
  // From the begin, in units of the domain, up to where values were kept.
  double kept_to() const { return blocks_.empty() ? 0.0 : blocks_.back().begin + block_length(); }
  bool full() const { return full_; }

 private:
  struct Block {
    double begin = 0.0, speed = 0.0, engine_hz = 0.0;  // units, m/s, Hz
    std::size_t stretch = 0;                           // those of one went on without a gap
  };
  struct Band;
  using Values = std::array<std::complex<double>, kAxes>;

  double block_length() const { return static_cast<double>(points_) / rate_; }
  void keep();
  std::size_t longest_stretch() const;
  std::vector<Values> turned_back(double at) const;
  std::vector<Band> bands_of(const std::vector<Values>& turned) const;

  Domain domain_;
  double rate_;
  std::size_t points_;  // in a block
  std::size_t most_;
  bool full_ = false;
  EvenBlock held_;
  std::size_t stretch_ = 0;
  std::vector<Block> blocks_;
  std::array<std::vector<float>, kAxes> kept_;  // block after block, less `level_`
  std::array<double, kAxes> level_{};           // of a stretch: gravity
};

}  // namespace perrev
