// Rows as they stand in the file to blocks of even steps: what is broken is mended or left out.
//
// The rate is that of the first 4,096 rows. Rows that go back or repeat a time are left out
// (row_clock.h), uneven ones put on even steps (even_grid.h), holes of up to three steps, or 20 ms
// but not more than 100 steps, filled; a longer one, and a stretch without a speed where there is
// one to have, parts what is before it from what is after. Clipping is looked for (sensor_watch.h).
// Held speeds are made continuous (held_trace.h), so blocks lag behind the rows by up to 5 s.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "engine/recording/samples.h"
#include "engine/recording/slow_trace.h"
#include "engine/result.h"

namespace perrev {

struct TimelineOptions {
  // Held for the whole, whatever the file says; 0: as recorded. m/s, turns in a second.
  double constant_speed = 0.0, constant_engine_hz = 0.0;
  // Recorded apart, and what added to their times makes them those of the accelerations. They must
  // live as long as the Timeline is made.
  const SlowTrace* speed = nullptr;
  const SlowTrace* engine = nullptr;
  double offset = 0.0;  // s
};

// Samples cut anywhere between rows; the blocks do not depend on where. None has more than
// kEvenBlock samples. What take or finish return refuses the whole, whatever went before.
inline constexpr std::size_t kEvenBlock = 4096;

class Timeline {
 public:
  Timeline(const TimelineOptions& options, EvenSink sink);
  ~Timeline();

  std::optional<Problem> take(const Samples& samples);
  std::optional<Problem> finish();

  double rate() const;  // Hz; 0 until it is known
  const std::vector<RecordingFinding>& findings() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace perrev
