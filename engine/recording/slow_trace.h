// A speed or an engine speed recorded apart from the accelerations, with a clock of its own.
//
// All of it is kept, without what repeats: an hour of changes at 10 Hz is half a megabyte. Faster
// ones are thinned to 20 Hz, which no vehicle's speed needs. Single rows whose time goes back or
// leaps are left out. A clock that was set back is refused: what follows it is apart from the
// accelerations by nobody knows how much.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/recording/finding_log.h"
#include "engine/recording/held_trace.h"
#include "engine/recording/samples.h"
#include "engine/result.h"

namespace perrev {

class SlowTrace {
 public:
  enum class Of { speed, engine };
  explicit SlowTrace(Of of) : of_(of) {}

  std::optional<Problem> take(const Samples& samples);
  std::optional<Problem> finish();

  // Whether any row had a value.
  bool any() const { return rows_ > 0; }
  const std::vector<RecordingFinding>& findings() const { return log_.all(); }
  // Its own time plus `offset` is that of what it is joined to.
  HeldTrace shifted(double offset) const;
  double begin() const { return time_.empty() ? 0.0 : time_.front(); }
  double end() const { return time_.empty() ? 0.0 : time_.back(); }

 private:
  std::optional<Problem> go_back(double time, double value, std::size_t line);
  void keep(double time, double value);

  Of of_;
  FindingLog log_;
  std::vector<double> time_, value_;
  double last_ = 0.0, before_ = 0.0;  // s, of the last two rows that did not go back
  bool going_back_ = false;           // the row before did
  std::size_t gone_back_ = 0, first_back_ = 0, rows_ = 0;
};

// A speed below 0 or above 110 m/s (400 km/h), an engine above 20,000 turns a minute. Up to 0.5 m/s
// below 0 is what a sensor at rest reads: it becomes 0.
std::optional<Problem> implausible_speed(double& value, std::size_t line);
std::optional<Problem> implausible_engine(double& value, std::size_t line);

}  // namespace perrev
