// What a sensor does that no body does: it stops at the end of its range, or stands still.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "engine/recording/finding_log.h"
#include "engine/result.h"

namespace perrev {

// Clipped: runs of three or more equal values at the highest or the lowest value there is, five
// such runs or more, where the range is more than sixteen of the smallest steps there are (a coarse
// sensor repeats itself unclipped). Above 5 % of the samples of an axis the recording is refused.
// Standing still: no axis changes for 2 s. Dead: one axis never changes, others do.
class SensorWatch {
 public:
  SensorWatch(std::vector<std::size_t> axes, FindingLog& log) : axes_(std::move(axes)), log_(log) {}

  void take(double time, const std::array<double, kAxes>& value, std::size_t line);
  std::optional<Problem> finish();

 private:
  struct End {  // of the range
    double value = 0.0;
    std::size_t runs = 0, samples = 0, first_line = 0;
    void take(double at, std::size_t run, std::size_t line);
  };
  struct Axis {
    double last = 0.0, smallest_step = 0.0;
    std::size_t run = 0, run_line = 0;
    End high, low;
  };
  void close_run(Axis& axis);
  void note_still();
  void note_dead();

  std::vector<std::size_t> axes_;
  FindingLog& log_;
  std::array<Axis, kAxes> state_;
  std::size_t samples_ = 0;
  double changed_ = 0.0, last_time_ = 0.0;  // s
  std::size_t changed_line_ = 0;
  double still_ = 0.0;  // s in all
};

}  // namespace perrev
