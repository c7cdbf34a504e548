// What lies between the clocks of two recorders on one drive: one of acceleration, one of speed.
//
// A vehicle that speeds up pushes its recorder back. So the change of speed is held against the
// accelerations, both as means of about a second without what is slower than a minute, at every
// offset that leaves at least half of the shorter of the two in common: how much of it the three
// axes together explain, whichever way the recorder lies (R2 of a regression). An offset is told
// only where that is clear:
//   - speed changes by 0.15 m/s2 r.m.s. or more,
//   - R2 is 0.3 or more,
//   - no offset more than 5 s away comes within e^10 of its likelihood, by as many seconds as both
//     have in common, two counted as one independent sample.
// The interval is that of the likelihood's curvature. A receiver that shows its speed late is part
// of the offset, as it should be.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "engine/recording/samples.h"
#include "engine/recording/slow_trace.h"

namespace perrev {

// Accelerations as means of a tenth of a second; of the first hour and a half.
class MeanMotion {
 public:
  void take(const Samples& samples);

  double begin() const { return begin_; }  // s
  // By axis, one value every kMeanStep; where there was none, the line between its neighbours.
  std::array<std::vector<double>, kAxes> filled() const;

 private:
  double begin_ = 0.0;
  bool begun_ = false;
  std::array<std::vector<double>, kAxes> sums_;
  std::vector<double> counts_;
};
inline constexpr double kMeanStep = 0.1;  // s

struct ClockOffset {
  double seconds = 0.0;          // the trace's time plus this is that of the accelerations
  double low = 0.0, high = 0.0;  // 95 % interval
  double explained = 0.0;        // R2
};
std::optional<ClockOffset> estimate_clock_offset(const MeanMotion& motion, const SlowTrace& speed);

}  // namespace perrev
