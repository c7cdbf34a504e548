#include "engine/recording/held_trace.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace perrev {

namespace {

constexpr double kLongestHole = 5.0;       // s
constexpr double kMostTime = 3.0;          // s, between changes
constexpr std::size_t kSeldom = 8;         // changes, before the usual time is found anew
constexpr std::size_t kManyPassed = 4096;  // and most of all, before they are forgotten
constexpr double kMissing = std::numeric_limits<double>::quiet_NaN();

}  // namespace

void HeldTrace::note_apart(double apart) {
  if (apart > kMostTime || apart <= 0.0) return;
  apart_[changes_++ % kRing] = apart;
  if (changes_ > kRing && changes_ % kSeldom != 0) return;
  std::array<double, kRing> sorted = apart_;
  const auto end = sorted.begin() + static_cast<std::ptrdiff_t>(std::min(changes_, kRing));
  const auto middle = sorted.begin() + (end - sorted.begin()) / 2;
  std::nth_element(sorted.begin(), middle, end);
  usual_time_ = *middle;
}

void HeldTrace::take(double time, double value) {
  if (!std::isfinite(time) || (begun_ && time < now_)) return;
  now_ = time;
  if (!std::isfinite(value)) {
    hole_ = true;
    return note_known();
  }
  if (!begun_) {
    begun_ = true;
    knots_.push_back({time, value, true});
    changed_ = time;
  } else if (time - seen_ > kLongestHole) {
    if (seen_ > knots_.back().time) knots_.push_back({seen_, value_, false});
    knots_.push_back({time, value, true});
    changed_ = time;
  } else if (value != value_ || hole_) {  // after a hole even the same value is a new one
    turn(time, value);
  }
  value_ = value;
  seen_ = time;
  hole_ = false;
  note_known();
}

void HeldTrace::turn(double time, double value) {
  const double from = std::max(known_, hole_ ? seen_ : std::max(changed_, time - usual_time_));
  if (from > knots_.back().time) knots_.push_back({from, value_, false});
  knots_.push_back({time, value, false});
  note_apart(time - changed_);
  changed_ = time;
}

void HeldTrace::close() {
  if (begun_ && seen_ > knots_.back().time) knots_.push_back({seen_, value_, false});
  known_ = kEver;
}

void HeldTrace::note_known() {
  double known = now_;
  if (begun_ && now_ - seen_ <= kLongestHole) known = std::max(changed_, seen_ - usual_time_);
  known_ = std::max(known_, known);
}

double HeldTrace::at(double time) {
  if (knots_.empty()) return kMissing;
  if (passed_ > kManyPassed && 2 * passed_ > knots_.size()) {
    knots_.erase(knots_.begin(), knots_.begin() + static_cast<std::ptrdiff_t>(passed_));
    passed_ = 0;
  }
  while (passed_ + 1 < knots_.size() && knots_[passed_ + 1].time <= time) ++passed_;
  const Knot& from = knots_[passed_];
  if (time < from.time) return kMissing;
  if (passed_ + 1 == knots_.size()) {
    // Held on over a hole that may be bridged.
    const double until = now_ - seen_ > kLongestHole ? seen_ : seen_ + kLongestHole;
    return time <= until ? from.value : kMissing;
  }
  const Knot& to = knots_[passed_ + 1];
  if (to.after_hole) return time <= from.time ? from.value : kMissing;
  return from.value + (to.value - from.value) * (time - from.time) / (to.time - from.time);
}

}  // namespace perrev
