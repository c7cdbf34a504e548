// When rows were measured, from the stamps that a logger gave them.
//
// Stamps are exact, or coarse: whole seconds or milliseconds that are no small part of the step
// between rows, or one stamp for a batch of rows. Exact stamps are taken as they are. Of coarse
// ones only the order of size is believed: rows are counted on by the step, and pulled no further
// than the stamp leaves room for. Stamps that go back are left out where they are few, and taken
// for a clock that was set back where they keep to themselves.
#pragma once

#include <cstddef>
#include <optional>

#include "engine/recording/clock_plan.h"
#include "engine/recording/finding_log.h"
#include "engine/result.h"

namespace perrev {

class RowClock {
 public:
  RowClock(const ClockPlan& plan, FindingLog& log) : plan_(plan), log_(log) {}

  enum class Verdict { follows, after_gap, left_out };
  // Of the row with this stamp; `time()` is when it was measured.
  Verdict place(double stamp, std::size_t line);
  double time() const { return time_; }
  // Whether the row would open a gap; a single one that does may be a slip of the clock.
  bool jumps(double stamp) const;
  double last_stamp() const { return stamp_ - shift_; }
  // When something beside the rows was measured; nothing where that is far from the last row.
  std::optional<double> between(double stamp) const;
  // A row left out as such a slip.
  void slipped(std::size_t line);

  // What the stamps were like, on the whole; too many that go back are refused.
  std::optional<Problem> finish();

 private:
  Verdict back(double stamp, std::size_t line);
  Verdict coarse(double stamp, std::size_t line);
  Verdict gap(double seconds, std::size_t line);
  void measure(double seconds, std::size_t line);
  void tell_jitter();

  ClockPlan plan_;
  FindingLog& log_;
  bool begun_ = false;
  double stamp_ = 0.0, time_ = 0.0;
  double shift_ = 0.0;  // s, added to stamps since the clock was set back
  std::size_t rows_ = 0, slips_ = 0, first_slip_ = 0;
  std::size_t back_run_ = 0, back_rows_ = 0;  // stamps in a row before the last one, their rows
  double back_stamp_ = 0.0;
  double longest_gap_ = 0.0, gaps_ = 0.0;                     // s
  double squares_ = 0.0, counted_ = 0.0;                      // of what steps differ by, in steps
  double window_sum_ = 0.0, shortest_ = 0.0, longest_ = 0.0;  // mean steps of windows
  std::size_t window_rows_ = 0;
};

}  // namespace perrev
