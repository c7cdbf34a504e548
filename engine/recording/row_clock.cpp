#include "engine/recording/row_clock.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr double kSteps = 3.0, kLeastGap = 0.02;  // a gap is longer than both; s
constexpr double kManyRepeats = 0.05;             // of stamps: they stand for batches
constexpr double kCoarse = 1.0 / 8.0;             // of a step: a tick that is no small part of it
constexpr double kMostSlips = 0.01;               // of the rows
constexpr std::size_t kSetBack = 5;               // rows in a row
constexpr double kLowestRate = 20.0, kFairRate = 100.0, kHighestRate = 100'000.0;  // Hz
constexpr double kJitterTold = 0.02, kDriftTold = 0.01;                            // of a step
constexpr double kLastBit = 2.3e-16, kFineEnough = 0.02;  // of a double, of a step
constexpr std::size_t kDriftRows = 4096;
constexpr std::array kTicks = {1.0, 0.1, 0.01, 1e-3, 1e-4, 1e-5};  // s, of written stamps

std::string number(double value) { return show_rounded(value, Dimension::count, Units::metric); }
std::string seconds(double value) {
  return value < 1.0 ? number(1000.0 * value) + " ms" : number(value) + " s";
}

double middle_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct Batch {
  double stamp;
  double rows;
};

std::vector<Batch> batches_of(const std::vector<double>& stamps) {
  std::vector<Batch> out;
  for (const double stamp : stamps) {
    if (!out.empty() && stamp < out.back().stamp) continue;
    if (out.empty() || stamp > out.back().stamp) out.push_back({stamp, 0.0});
    out.back().rows += 1.0;
  }
  return out;
}

// Of exact stamps, whatever rows are missing between them.
double even_step(const std::vector<Batch>& batches) {
  std::vector<double> apart;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i)
    apart.push_back(batches[i + 1].stamp - batches[i].stamp);
  const double usual = middle_of(apart);
  double sum = 0.0, steps = 0.0;
  for (const double each : apart) {
    if (each > (kSteps + 0.5) * usual) continue;
    sum += each;
    steps += std::max(1.0, std::round(each / usual));
  }
  return sum / steps;
}

// Slope of the stamps over the rows before them, batches `from` to `to`, by least squares.
double slope_of(const std::vector<Batch>& batches, std::size_t from, std::size_t to) {
  double mean_row = 0.0, mean_stamp = 0.0, row = 0.0;
  const double count = static_cast<double>(to - from);
  for (std::size_t i = from; i < to; ++i) {
    mean_row += row / count;
    mean_stamp += (batches[i].stamp - batches[from].stamp) / count;
    row += batches[i].rows;
  }
  double both = 0.0, rows = 0.0;
  row = 0.0;
  for (std::size_t i = from; i < to; ++i) {
    both += (row - mean_row) * (batches[i].stamp - batches[from].stamp - mean_stamp);
    rows += (row - mean_row) * (row - mean_row);
    row += batches[i].rows;
  }
  return both / rows;
}

// Of coarse stamps, over the longest piece without a leap. The last batch may be cut off by the end
// of the rows at hand, the first by the begin of the recording.
double counted_step(const std::vector<Batch>& batches) {
  std::vector<double> steps;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i)
    steps.push_back((batches[i + 1].stamp - batches[i].stamp) / batches[i].rows);
  const double usual = middle_of(steps);
  std::size_t from = 1, best_from = 1, best_to = 1;
  for (std::size_t i = 1; i < batches.size(); ++i) {
    if (i + 1 - from > best_to - best_from) {
      best_from = from;
      best_to = i + 1;
    }
    if (i < steps.size() && steps[i] > 2.5 * usual) from = i + 1;
  }
  return best_to - best_from < 2 ? usual : slope_of(batches, best_from, best_to);
}

double tick_of(const std::vector<Batch>& batches) {
  for (const double tick : kTicks) {
    const bool fits = std::all_of(batches.begin(), batches.end(), [&](const Batch& each) {
      const double ticks = (each.stamp - batches.front().stamp) / tick;
      return std::fabs(ticks - std::round(ticks)) < 0.01;
    });
    if (fits) return tick;
  }
  return 0.0;
}

// Whether more than a few of the stamps lie off the steps between them, be it for missing rows.
bool uneven(const std::vector<Batch>& batches, double step) {
  std::size_t off = 0;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i) {
    const double steps = (batches[i + 1].stamp - batches[i].stamp) / step;
    if (std::fabs(steps - std::max(1.0, std::round(steps))) > 0.05) ++off;
  }
  return off * 100 > batches.size();
}

void plan_coarse(ClockPlan& plan, const std::vector<Batch>& batches, double tick) {
  plan.coarse = true;
  std::vector<double> apart, rows;
  for (std::size_t i = 0; i + 1 < batches.size(); ++i) {
    apart.push_back(batches[i + 1].stamp - batches[i].stamp);
    rows.push_back(batches[i].rows);
  }
  const double interval = middle_of(apart);
  plan.batch = middle_of(rows);
  const bool ticks = tick >= 0.5 * interval;  // stamps count up by the tick: they are cut, not late
  plan.room = std::min(plan.step, ticks ? tick : plan.step);
  plan.slack = ticks ? 0.0 : interval;
  plan.gap = std::max(plan.gap, plan.slack);
  plan.first = std::max(batches[0].stamp, batches[1].stamp - batches[0].rows * plan.step);
}

std::string per_second(double rate) { return number(rate) + " rows a second"; }

}  // namespace

Result<ClockPlan> plan_clock(const std::vector<double>& stamps) {
  const std::vector<Batch> batches = batches_of(stamps);
  if (batches.size() < 3)
    return problem("the time stands still: " + std::to_string(batches.size()) + " moments in " +
                       std::to_string(stamps.size()) + " rows",
                   "a time for every row, or stamps that rows can be counted between");
  double rows = 0.0;
  for (const Batch& each : batches) rows += each.rows;
  const double repeats = 1.0 - static_cast<double>(batches.size()) / rows;
  ClockPlan plan;
  plan.first = batches.front().stamp;
  plan.step = counted_step(batches);
  const double tick = tick_of(batches);
  const bool batched = repeats > kManyRepeats;
  const bool coarse = batched || (tick > kCoarse * plan.step && uneven(batches, plan.step));
  if (!coarse) plan.step = even_step(batches);
  const double rate = 1.0 / plan.step;
  if (std::fabs(plan.first) * kLastBit > kFineEnough * plan.step)
    return problem("the times are too large to tell rows " + seconds(plan.step) + " apart",
                   "times counted from a later moment, or check their unit");
  if (rate < kLowestRate)
    return problem("only " + per_second(rate) + ", which shows nothing a wheel does",
                   "100 rows a second or more, 20 at the least");
  if (rate > kHighestRate)
    return problem(per_second(rate) + " are more than any sensor gives",
                   "check the unit of the time");
  plan.gap = std::max(kSteps * plan.step, kLeastGap);
  if (coarse) plan_coarse(plan, batches, tick);
  return plan;
}

bool RowClock::jumps(double stamp) const {
  return begun_ && !plan_.coarse && stamp + shift_ - stamp_ > plan_.gap;
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
  back_run_ = back_run_ > 0 && stamp > back_stamp_ ? back_run_ + 1 : 1;
  back_stamp_ = stamp;
  if (back_run_ < kSetBack) {
    slipped(line);
    return Verdict::left_out;
  }
  slips_ -= kSetBack - 1;
  const double by = stamp_ - stamp;
  log_.mend("clock_set_back",
            "The clock goes back by " + seconds(by) + "; the rest is taken as a piece of its own.",
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
  if (low - expected > plan_.gap) {
    const double passed = stamp - time_;
    time_ = stamp;
    return gap(passed, line);
  }
  time_ = std::max(std::clamp(expected, low, high), time_ + 0.25 * plan_.step);
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
                            seconds(plan_.step) + "; the rows are put on even steps." +
                            (jitter > 0.5 ? " That is much: what is fast may be lost." : ""));
  if (shortest_ > 0.0 && longest_ > (1.0 + kDriftTold) * shortest_)
    log_.tell("rate_drift", "The rate drifts between " + number(1.0 / longest_) + " and " +
                                per_second(1.0 / shortest_) + ".");
  if (1.0 / plan_.step < kFairRate)
    log_.tell("low_rate", "With " + per_second(1.0 / plan_.step) +
                              " nothing faster than half of that is seen.");
  if (plan_.coarse && plan_.batch > 1.0)
    log_.mend("batched_stamps", "About " + number(plan_.batch) +
                                    " rows share each time; they are spread evenly, " +
                                    seconds(plan_.step) + " apart.");
  else if (plan_.coarse)
    log_.mend("coarse_stamps", "The times are rounded to no small part of the step; rows are put " +
                                   seconds(plan_.step) + " apart as far as that allows.");
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
  log_.describe("gap", "Nothing was recorded for " + seconds(gaps_) + " in all, at the longest " +
                           seconds(longest_gap_) + "; what lies on both sides is not joined.");
  return std::nullopt;
}

}  // namespace perrev
