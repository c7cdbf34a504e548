#include "engine/recording/unit_watch.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

struct Gravity {
  std::string_view unit;
  double low, high;  // of the mean
};
constexpr std::array kGravities = {Gravity{"g", 0.9, 1.1}, Gravity{"m/s2", 9.3, 10.3},
                                   Gravity{"mg", 900.0, 1100.0}};
constexpr double kWindow = 1.0;                  // s
constexpr std::size_t kFewWindows = 3;           // say nothing yet
constexpr double kNearlyAll = 0.95;              // of the windows
constexpr double kMostRms = 50.0;                // m/s2
constexpr double kFar = 1e9;                     // what is more is as wrong, and has a square
constexpr std::size_t kLongestWindow = 1 << 16;  // rows, where times stand still

bool within(const Gravity& gravity, double mean) {
  return mean >= gravity.low && mean <= gravity.high;
}

double length(const std::array<double, kAxes>& sum, double count) {
  return std::sqrt(sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]) / count;
}

// Whole rows only: one without an axis would turn the mean.
bool add_row(const Samples& samples, std::size_t row, std::array<double, kAxes>& sum,
             double& squares) {
  std::array<double, kAxes> value{};
  for (std::size_t a = 0; a < kAxes; ++a) {
    if (samples.acceleration[a].empty()) continue;
    value[a] = samples.acceleration[a][row];
    if (!std::isfinite(value[a])) return false;
    value[a] = std::clamp(value[a], -kFar, kFar);
  }
  for (std::size_t a = 0; a < kAxes; ++a) {
    sum[a] += value[a];
    squares += value[a] * value[a];
  }
  return true;
}

}  // namespace

std::optional<Problem> settle_accelerations(std::vector<RecordedColumn>& columns,
                                            const Samples& first_rows, FindingLog& log) {
  const RecordedColumn* named = nullptr;
  std::vector<RecordedColumn*> open;
  for (RecordedColumn& column : columns) {
    if (!is_axis(column.role)) continue;
    if (column.size > 0.0)
      named = &column;
    else
      open.push_back(&column);
  }
  if (open.empty()) return std::nullopt;
  const auto settle = [&](std::string_view unit, double size) {
    for (RecordedColumn* column : open) {
      column->unit = unit;
      column->size = size;
    }
  };
  if (named) {
    settle(named->unit, named->size);
    return std::nullopt;
  }
  std::array<double, kAxes> sum{};
  double squares = 0.0, count = 0.0;
  for (std::size_t i = 0; i < first_rows.size(); ++i)
    if (add_row(first_rows, i, sum, squares)) count += 1.0;
  const double mean = count > 0.0 ? length(sum, count) : 0.0;
  for (const Gravity& each : kGravities) {
    if (!within(each, mean)) continue;
    settle(each.unit, *unit_size(Measured::acceleration, each.unit));
    log.tell("unit_by_gravity", "The accelerations are taken as " + std::string(each.unit) +
                                    ": at rest they read " +
                                    show_rounded(mean, Dimension::count, Units::metric) +
                                    ", which is gravity in that unit.");
    return std::nullopt;
  }
  return problem("nothing says in which unit the accelerations are, and their mean of " +
                     show_rounded(mean, Dimension::count, Units::metric) + " is gravity in none",
                 "name it in the column's name or give it: " +
                     std::string(usual_units(Measured::acceleration)));
}

void UnitWatch::take(const Samples& samples) {
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const double time = samples.time[i];
    if (!std::isfinite(time) || !add_row(samples, i, sum_, squares_)) continue;
    if (in_window_ == 0) window_from_ = time;
    ++in_window_;
    if (std::fabs(time - window_from_) >= kWindow || in_window_ >= kLongestWindow) close_window();
  }
}

void UnitWatch::close_window() {
  const double mean = length(sum_, static_cast<double>(in_window_)) / size_;
  ++windows_;
  for (std::size_t u = 0; u < kUnits; ++u)
    if (within(kGravities[u], mean)) ++alike_[u];
  const double square = squares_ / static_cast<double>(in_window_);
  if (square > kMostRms * kMostRms) {
    ++loud_;
    loud_squares_ += square;
  }
  sum_ = {};
  squares_ = 0.0;
  in_window_ = 0;
}

std::optional<Problem> UnitWatch::finish() {
  if (windows_ == 0 && in_window_ > 0) close_window();
  if (!unit_.empty() && windows_ >= kFewWindows)
    for (std::size_t u = 0; u < kUnits; ++u) {
      const double size = *unit_size(Measured::acceleration, kGravities[u].unit);
      const bool same = std::fabs(size / size_ - 1.0) < 1e-9;
      if (same || static_cast<double>(alike_[u]) < kNearlyAll * static_cast<double>(windows_))
        continue;
      return problem(
          "the accelerations are said to be in " + unit_ + ", but gravity reads " +
              show_rounded(kStandardGravity / size, Dimension::count, Units::metric) + " in them",
          "the unit looks like " + std::string(kGravities[u].unit) + ": give it by hand");
    }
  if (2 * loud_ > windows_)
    return problem("the accelerations are " +
                       show_rounded(std::sqrt(loud_squares_ / static_cast<double>(loud_)),
                                    Dimension::count, Units::metric) +
                       " m/s2 r.m.s., more than any ride has",
                   "check their unit" + (unit_.empty() ? "" : "; they are said to be in " + unit_));
  return std::nullopt;
}

}  // namespace perrev
