#include "engine/recording/slow_trace.h"

#include <cmath>
#include <limits>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr double kThinned = 0.05;                  // s
constexpr double kFastest = 110.0, kAtRest = 0.5;  // m/s
constexpr double kFastestEngine = 20'000.0 / 60.0;
constexpr double kMostBack = 0.01;  // of the rows
constexpr double kHold = 1.0;       // s after which even the same value is kept

std::string_view words_of(SlowTrace::Of of) {
  return of == SlowTrace::Of::speed ? "speed" : "engine speed";
}

Problem told_at(Problem told, std::size_t line) {
  told.place.line = static_cast<int>(line);
  return told;
}

}  // namespace

std::optional<Problem> implausible_speed(double& value, std::size_t line) {
  if (value >= 0.0 && value <= kFastest) return std::nullopt;
  if (!std::isfinite(value)) {
    value = std::numeric_limits<double>::quiet_NaN();
    return std::nullopt;
  }
  if (value < 0.0 && value >= -kAtRest) {
    value = 0.0;
    return std::nullopt;
  }
  return told_at(
      problem("a speed of " + show_rounded(value, Dimension::count, Units::metric) + " m/s",
              "speeds from 0 to 110 m/s: check the column and its unit"),
      line);
}

std::optional<Problem> implausible_engine(double& value, std::size_t line) {
  if (value >= 0.0 && value <= kFastestEngine) return std::nullopt;
  if (!std::isfinite(value)) {
    value = std::numeric_limits<double>::quiet_NaN();
    return std::nullopt;
  }
  return told_at(problem("an engine speed of " +
                             show_rounded(60.0 * value, Dimension::count, Units::metric) + " rpm",
                         "engine speeds from 0 to 20000 rpm: check the column and its unit"),
                 line);
}

std::optional<Problem> SlowTrace::take(const Samples& samples) {
  const std::vector<double>& column = of_ == Of::speed ? samples.speed : samples.engine_hz;
  for (std::size_t i = 0; i < column.size(); ++i) {
    double value = column[i];
    const double time = samples.time[i];
    const std::size_t line = samples.first_line == 0 ? 0 : samples.first_line + i;
    auto wrong =
        of_ == Of::speed ? implausible_speed(value, line) : implausible_engine(value, line);
    if (wrong) return wrong;
    if (!std::isfinite(time) || !std::isfinite(value)) continue;
    if (rows_++ > 0 && (time < last_ || (going_back_ && time == last_))) {
      if (auto refused = go_back(time, value, line)) return refused;
      continue;
    }
    going_back_ = false;
    before_ = rows_ == 1 ? time : last_;
    last_ = time;
    keep(time, value);
  }
  return std::nullopt;
}

// One row alone is late, or the one before it leapt; two are a clock that was set back.
std::optional<Problem> SlowTrace::go_back(double time, double value, std::size_t line) {
  if (going_back_)
    return told_at(problem("the clock of the " + std::string(words_of(of_)) +
                               " goes back, and with it what follows is at other times",
                           "two files, cut here, each with its offset"),
                   first_back_);
  log_.mend("backward_time", "A row of which the time goes back or leaps is left out.", line);
  ++gone_back_;
  if (time > before_ && last_ - before_ > 2.0 * (time - before_)) {
    if (time_.back() == last_) {
      time_.pop_back();
      value_.pop_back();
    }
    last_ = time;
    keep(time, value);
    return std::nullopt;
  }
  going_back_ = true;
  first_back_ = line;
  return std::nullopt;
}

void SlowTrace::keep(double time, double value) {
  const bool soon = !time_.empty() && time - time_.back() < kThinned;
  const bool same = !time_.empty() && value == value_.back() && time - time_.back() < kHold;
  if (soon || same) return;
  time_.push_back(time);
  value_.push_back(value);
}

std::optional<Problem> SlowTrace::finish() {
  const std::string what(words_of(of_));
  if (time_.size() < 2)
    return problem("no two moments with a " + what, "a column of " + what + " and one of time");
  if (static_cast<double>(gone_back_) > kMostBack * static_cast<double>(rows_) + 1.0)
    return problem("the time goes back in " + std::to_string(gone_back_) + " of " +
                       std::to_string(rows_) + " rows",
                   "rows in the order they were measured");
  return std::nullopt;
}

HeldTrace SlowTrace::shifted(double offset) const {
  HeldTrace out;
  for (std::size_t i = 0; i < time_.size(); ++i) out.take(time_[i] + offset, value_[i]);
  out.close();
  return out;
}

}  // namespace perrev
