// A speed or an engine speed recorded apart from the accelerations, with a clock of its own.
//
// All of it is kept, without what repeats: an hour of changes at 10 Hz is half a megabyte. Faster
// ones are thinned to 20 Hz, which no vehicle's speed needs.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/recording/held_trace.h"
#include "engine/recording/samples.h"
#include "engine/result.h"

namespace perrev {

class SlowTrace {
 public:
  enum class Of { speed, engine };
  explicit SlowTrace(Of of) : of_(of) {}

  // Rows whose time goes back are left out.
  std::optional<Problem> take(const Samples& samples);
  std::optional<Problem> finish();

  // Its own time plus `offset` is that of what it is joined to.
  HeldTrace shifted(double offset) const;
  double begin() const { return time_.empty() ? 0.0 : time_.front(); }
  double end() const { return time_.empty() ? 0.0 : time_.back(); }

 private:
  Of of_;
  std::vector<double> time_, value_;
  std::size_t gone_back_ = 0, rows_ = 0;
};

// A speed below 0 or above 110 m/s (400 km/h), an engine above 20,000 turns a minute. Up to 0.5 m/s
// below 0 is what a sensor at rest reads: it becomes 0.
std::optional<Problem> implausible_speed(double& value, std::size_t line);
std::optional<Problem> implausible_engine(double& value, std::size_t line);

}  // namespace perrev
