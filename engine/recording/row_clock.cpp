#include "engine/recording/row_clock.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr double kMostSlips = 0.01;                      // of the rows
constexpr double kBeside = 5.0;                          // s
constexpr double kFairRate = 99.5;                       // Hz
constexpr double kJitterTold = 0.02, kDriftTold = 0.01;  // of a step
constexpr std::size_t kDriftRows = 4096;

std::string number(double value) { return show_rounded(value, Dimension::count, Units::metric); }

}  // namespace

bool RowClock::jumps(double stamp) const {
  return begun_ && !plan_.coarse && stamp + shift_ - stamp_ > plan_.gap;
}

std::optional<double> RowClock::between(double stamp) const {
  const double time = stamp + shift_;
  if (!begun_) return time;
  if (time - stamp_ > kBeside) return std::nullopt;
  return plan_.coarse && time >= stamp_ ? time_ : time;
}

void RowClock::slipped(std::size_t line) {
  if (slips_++ == 0) first_slip_ = line;
  log_.mend("backward_time", "A row of which the time goes back or leaps is left out.", line);
}

RowClock::Verdict RowClock::place(double stamp, std::size_t line) {
  ++rows_;
  stamp += shift_;
  if (!begun_) {
    begun_ = true;
    stamp_ = stamp;
    time_ = plan_.first;
    return Verdict::after_gap;
  }
  const double passed = stamp - stamp_;
  if (passed < 0.0) return back(stamp, line);
  back_run_ = 0;
  if (plan_.coarse) return coarse(stamp, line);
  if (passed == 0.0) {
    log_.mend("duplicate_time", "A row with the time of the one before it is left out.", line);
    return Verdict::left_out;
  }
  stamp_ = time_ = stamp;
  if (passed > plan_.gap) return gap(passed, line);
  measure(passed, line);
  return Verdict::follows;
}

RowClock::Verdict RowClock::back(double stamp, std::size_t line) {
  if (back_run_ == 0 || stamp < back_stamp_) back_run_ = back_rows_ = 0;
  if (back_run_ == 0 || stamp > back_stamp_) ++back_run_;
  ++back_rows_;
  back_stamp_ = stamp;
  if (back_run_ < kSetBack) {
    slipped(line);
    return Verdict::left_out;
  }
  slips_ -= back_rows_ - 1;
  const double by = stamp_ - stamp;
  log_.mend(
      "clock_set_back",
      "The clock goes back by " + in_seconds(by) + "; the rest is taken as a piece of its own.",
      line);
  // A second on, so that no piece begins before the end of the last.
  shift_ += by + 1.0;
  stamp_ = time_ = stamp + by + 1.0;
  back_run_ = 0;
  return Verdict::after_gap;
}

RowClock::Verdict RowClock::coarse(double stamp, std::size_t line) {
  const double expected = time_ + plan_.step;
  if (stamp == stamp_) {
    time_ = expected;
    return Verdict::follows;
  }
  stamp_ = stamp;
  const double low = stamp - plan_.slack, high = stamp + plan_.room + plan_.slack;
  if (low - expected > std::max(plan_.gap, plan_.slack)) {
    const double passed = stamp - time_;
    time_ = stamp;
    return gap(passed, line);
  }
  // Pulled a little with each row, so that no hole opens between two.
  time_ = std::clamp(std::clamp(expected, low, high), time_ + 0.25 * plan_.step, time_ + plan_.gap);
  return Verdict::follows;
}

RowClock::Verdict RowClock::gap(double passed, std::size_t line) {
  longest_gap_ = std::max(longest_gap_, passed);
  gaps_ += passed;
  log_.mend("gap", "Nothing was recorded for a while; what lies on both sides is not joined.",
            line);
  return Verdict::after_gap;
}

void RowClock::measure(double passed, std::size_t line) {
  if (passed > 1.5 * plan_.step) {
    log_.mend("missing_rows", "Rows are missing; so short a hole is filled from those beside it.",
              line);
    return;
  }
  const double off = passed / plan_.step - 1.0;
  squares_ += off * off;
  counted_ += 1.0;
  window_sum_ += passed;
  if (++window_rows_ < kDriftRows) return;
  const double mean = window_sum_ / static_cast<double>(kDriftRows);
  shortest_ = shortest_ > 0.0 ? std::min(shortest_, mean) : mean;
  longest_ = std::max(longest_, mean);
  window_sum_ = 0.0;
  window_rows_ = 0;
}

void RowClock::tell_jitter() {
  const double jitter = counted_ > 0.0 ? std::sqrt(squares_ / counted_) : 0.0;
  if (jitter > kJitterTold)
    log_.mend("jitter", "The steps of time vary by " + number(100.0 * jitter) + " % r.m.s. of " +
                            in_seconds(plan_.step) + "; the rows are put on even steps." +
                            (jitter > 0.5 ? " That is much: what is fast may be lost." : ""));
  if (shortest_ > 0.0 && longest_ > (1.0 + kDriftTold) * shortest_)
    log_.tell("rate_drift", "The rate drifts between " + number(1.0 / longest_) + " and " +
                                rows_a_second(1.0 / shortest_) + ".");
  if (1.0 / plan_.step < kFairRate)
    log_.tell("low_rate", "With " + rows_a_second(1.0 / plan_.step) +
                              " nothing faster than half of that is seen.");
  if (plan_.coarse && plan_.batch > 1.0)
    log_.mend("batched_stamps", "About " + number(plan_.batch) +
                                    " rows share each time; they are spread evenly, " +
                                    in_seconds(plan_.step) + " apart.");
  else if (plan_.coarse)
    log_.mend("coarse_stamps", "The times are rounded to no small part of the step; rows are put " +
                                   in_seconds(plan_.step) + " apart as far as that allows.");
}

std::optional<Problem> RowClock::finish() {
  if (static_cast<double>(slips_) > std::max(1.0, kMostSlips * static_cast<double>(rows_))) {
    Problem out = problem("the time goes back in " + std::to_string(slips_) + " of " +
                              std::to_string(rows_) + " rows, the first one here",
                          "rows in the order they were measured");
    out.place.line = static_cast<int>(first_slip_);
    return out;
  }
  tell_jitter();
  log_.describe("gap", "Nothing was recorded for " + in_seconds(gaps_) +
                           " in all, at the longest " + in_seconds(longest_gap_) +
                           "; what lies on both sides is not joined.");
  return std::nullopt;
}

}  // namespace perrev
