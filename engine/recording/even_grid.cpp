#include "engine/recording/even_grid.h"

#include <algorithm>
#include <cmath>
#include <functional>

namespace perrev {

namespace {

constexpr double kOnStep = 1e-3;  // of a step: a row so near its step is on it
constexpr double kMostWeight = 3.0;
constexpr double kTooClose = 1.0 / 3.0;  // of a step

}  // namespace

bool EvenGrid::add(double time, const std::array<double, kAxes>& value) {
  if (known_ == rows_.size()) {
    rows_[0] = rows_[1];
    rows_[1] = rows_[2];
    rows_[2] = rows_[3];
    rows_[3] = {time, value};
    fill(rows_[2].time);
    return true;
  }
  if (known_ == 0) {
    if (time < ended_) return false;
    begin_ = time;
  }
  rows_[known_++] = {time, value};
  if (known_ < rows_.size()) return true;
  next_ = 0;
  out_.push_back({});
  out_.back().begin = begin_;
  fill(rows_[2].time);
  return true;
}

std::size_t EvenGrid::close() {
  const std::size_t lost = known_ < rows_.size() ? known_ : 0;
  if (known_ == rows_.size()) {
    fill(rows_[3].time + 2.0 * kOnStep * step_);
    out_.back().closed = true;
    ended_ = begin_ + static_cast<double>(next_) * step_;
  }
  known_ = 0;
  return lost;
}

// Samples before `to`; those on the step there wait for what comes next.
void EvenGrid::fill(double to) {
  const double end = to - kOnStep * step_;
  for (;;) {
    const double time = begin_ + static_cast<double>(next_) * step_;
    if (time >= end) return;
    put(time);
    ++next_;
  }
}

void EvenGrid::put_row(const Point& row) {
  Stretch& out = out_.back();
  for (const std::size_t a : axes_) out.acceleration[a].push_back(row.value[a]);
  ++out.size;
}

void EvenGrid::put(double time) {
  for (const Point& row :
       {std::cref(rows_[1]), std::cref(rows_[2]), std::cref(rows_[0]), std::cref(rows_[3])})
    if (std::fabs(row.time - time) < kOnStep * step_) return put_row(row);
  // Which rows are beside it, and the weights of Lagrange's cubic.
  std::array<double, 4> t;
  for (std::size_t i = 0; i < 4; ++i) t[i] = (rows_[i].time - time) / step_;
  std::array<double, 4> weight{};
  double size = 0.0;
  for (std::size_t i = 0; i < 4; ++i) {
    double over = 1.0, under = 1.0;
    for (std::size_t j = 0; j < 4; ++j) {
      if (j == i) continue;
      over *= -t[j];
      under *= t[i] - t[j];
    }
    weight[i] = over / under;
    size += std::fabs(weight[i]);
  }
  const bool close = std::min({t[1] - t[0], t[2] - t[1], t[3] - t[2]}) < kTooClose;
  if (close || size > kMostWeight) {
    const std::size_t i = t[1] > 0.0 ? 0 : t[2] > 0.0 ? 1 : 2;
    weight = {};
    weight[i] = t[i + 1] > t[i] ? t[i + 1] / (t[i + 1] - t[i]) : 1.0;
    weight[i + 1] = 1.0 - weight[i];
  }
  Point mean{time, {}};
  for (const std::size_t a : axes_)
    for (std::size_t i = 0; i < 4; ++i) mean.value[a] += weight[i] * rows_[i].value[a];
  put_row(mean);
}

}  // namespace perrev
