#include "engine/recording/welch.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "engine/recording/columns.h"

namespace perrev {
namespace {

constexpr double kHannBandwidth = 1.5;  // equivalent noise bandwidth of Hann's window, in lines
// Correlation of Hann windows that overlap by half is 1/6; of their powers, the square.
constexpr double kShared = 1.0 / 36.0;

// How many units of a domain go by in a second.
double rate_of(std::size_t domain, double speed, double engine_hz) {
  return domain == static_cast<std::size_t>(Domain::time)   ? 1.0
         : domain == static_cast<std::size_t>(Domain::road) ? speed
                                                            : engine_hz;
}

}  // namespace

Welch::Welch(Domain domain, double rate, double length, double highest, SegmentSink sink)
    : domain_(domain),
      rate_(rate),
      fft_(quick_length(static_cast<std::size_t>(std::ceil(length * rate - 1e-9)))),
      lines_(std::min(fft_.points() / 2, static_cast<std::size_t>(highest / step())) + 1),
      sink_(std::move(sink)),
      windowed_(fft_.points()) {
  const double turn = 2.0 * std::numbers::pi / static_cast<double>(fft_.points());
  for (std::size_t i = 0; i < fft_.points(); ++i)
    window_.push_back(0.5 - 0.5 * std::cos(turn * static_cast<double>(i)));
}

void Welch::take(const EvenBlock& block) {
  if (!block.goes_on) held_ = {};
  append(held_, block);
  while (held_.size() >= fft_.points()) {
    give();
    drop_first(held_, fft_.points() / 2);
  }
}

void Welch::give() {
  Segment segment;
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    if (!held_.acceleration[axis].empty()) add_axis(axis, segment);
  tell_rates(segment);
  segments_ += 1.0;
  sink_(segment);
}

void Welch::add_axis(std::size_t axis, Segment& segment) {
  const std::vector<double>& values = held_.acceleration[axis];
  const std::size_t points = fft_.points();
  const double middle = 0.5 * static_cast<double>(points - 1);
  double sum = 0.0, moment = 0.0;
  for (std::size_t i = 0; i < points; ++i) {
    sum += values[i];
    moment += values[i] * (static_cast<double>(i) - middle);
  }
  const double count = static_cast<double>(points);
  const double mean = sum / count, slope = moment * 12.0 / (count * (count * count - 1.0));
  for (std::size_t i = 0; i < points; ++i)
    windowed_[i] = window_[i] * (values[i] - mean - slope * (static_cast<double>(i) - middle));
  const auto& lines = fft_.forward(windowed_);
  const double scale = 2.0 / (rate_ * 0.375 * count);  // 0.375: mean of the window's square
  sums_[axis].resize(lines_);
  segment.density[axis].resize(lines_);
  for (std::size_t k = 0; k < lines_; ++k) {
    const double sides = k == 0 || k == points / 2 ? 0.5 : 1.0;
    const double re = lines[k].real(), im = lines[k].imag();
    const double density = sides * scale * (re * re + im * im);
    sums_[axis][k] += density;
    segment.density[axis][k] = static_cast<float>(density);
  }
}

void Welch::tell_rates(Segment& segment) const {
  const std::size_t points = fft_.points();
  const auto at = [&](const std::vector<double>& values, std::size_t i) {
    return values.empty() ? 0.0 : values[i];
  };
  double sum = 0.0;
  for (std::size_t i = 0; i < points; ++i) {
    const double speed = at(held_.speed, i), engine = at(held_.engine_hz, i);
    sum += speed;
    const double own = rate_of(static_cast<std::size_t>(domain_), speed, engine);
    for (std::size_t d = 0; d < kDomains; ++d) {
      const double rate = own > 0.0 ? rate_of(d, speed, engine) / own : 0.0;
      Span& span = segment.rates[d];
      span.low = i == 0 ? rate : std::min(span.low, rate);
      span.high = i == 0 ? rate : std::max(span.high, rate);
    }
  }
  segment.speed = sum / static_cast<double>(points);
  if (!std::isfinite(segment.speed)) segment.speed = 0.0;
}

Spectrum Welch::spectrum() const {
  Spectrum out;
  out.domain = domain_;
  out.step = step();
  out.segments = segments_;
  out.averages = segments_ / (1.0 + 2.0 * kShared * (segments_ - 1.0) / std::max(1.0, segments_));
  out.bandwidth = kHannBandwidth * out.step;
  if (segments_ < 1.0) return out;
  for (std::size_t axis = 0; axis < kAxes; ++axis) {
    if (sums_[axis].empty()) continue;
    std::vector<double>& all = out.density[kAllAxes];
    all.resize(lines_);
    for (std::size_t k = 0; k < lines_; ++k) {
      out.density[axis].push_back(sums_[axis][k] / segments_);
      all[k] += out.density[axis][k];
    }
  }
  return out;
}

}  // namespace perrev
