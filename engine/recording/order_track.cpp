#include "engine/recording/order_track.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "engine/recording/columns.h"

namespace perrev {
namespace {

constexpr std::size_t kTrackLines = 16;  // blocks in a window
constexpr double kNoiseAside = 3.0;      // lines of a window to each side, where noise is read
constexpr double kBandOfSpeed = 1.0;     // m/s; of engine Hz where no speed is known
constexpr double kWindowBandwidth = 1.5;

using Complex = std::complex<double>;

std::array<double, kTrackLines> hann() {
  std::array<double, kTrackLines> window{};
  for (std::size_t i = 0; i < kTrackLines; ++i)  // sums to 1
    window[i] = (1.0 - std::cos(2.0 * std::numbers::pi * (static_cast<double>(i) + 0.5) /
                                static_cast<double>(kTrackLines))) /
                static_cast<double>(kTrackLines);
  return window;
}

}  // namespace

struct OrderTracker::Band {
  std::array<double, kAxes> power{}, low{}, high{};  // on the line, and to both sides
  Values sum{};
  double windows = 0.0, phased = 0.0, speed = 0.0, hz = 0.0, seconds = 0.0;
};

OrderTracker::OrderTracker(Domain domain, double rate, double window, std::size_t most)
    : domain_(domain),
      rate_(rate),
      points_(std::max<std::size_t>(
          2, static_cast<std::size_t>(std::lround(window * rate / kTrackLines)))),
      most_(most) {}

void OrderTracker::take(const EvenBlock& block) {
  if (full_) return;
  if (!block.goes_on) {
    held_ = {};
    ++stretch_;
  }
  if (held_.size() == 0) held_.begin = block.begin;
  append(held_, block);
  keep();
}

// All whole blocks that are held.
void OrderTracker::keep() {
  const std::size_t whole = held_.size() / points_;
  const auto mean_of = [&](const std::vector<double>& values, std::size_t first) {
    double sum = 0.0;
    for (std::size_t i = first; i < first + points_ && i < values.size(); ++i) sum += values[i];
    return sum / static_cast<double>(points_);
  };
  for (std::size_t b = 0; b < whole && !full_; ++b) {
    const std::size_t first = b * points_;
    std::size_t values = 0;
    for (std::size_t axis = 0; axis < kAxes; ++axis) {
      const std::vector<double>& from = held_.acceleration[axis];
      if (from.empty()) continue;
      if (blocks_.empty() || blocks_.back().stretch != stretch_)
        level_[axis] = mean_of(from, first);
      for (std::size_t i = first; i < first + points_; ++i)
        kept_[axis].push_back(static_cast<float>(from[i] - level_[axis]));
      values += kept_[axis].size();
    }
    blocks_.push_back({held_.begin + static_cast<double>(first) / rate_,
                       mean_of(held_.speed, first), mean_of(held_.engine_hz, first), stretch_});
    full_ = values >= most_;
  }
  drop_first(held_, whole * points_);
  held_.begin += static_cast<double>(whole * points_) / rate_;
}

std::size_t OrderTracker::longest_stretch() const {
  std::map<std::size_t, std::size_t> blocks;
  for (const Block& block : blocks_) ++blocks[block.stretch];
  std::size_t best = 0, most = 0;
  for (const auto& [stretch, count] : blocks)
    if (count > most) {
      most = count;
      best = stretch;
    }
  return best;
}

// The mean of each block, turned back; peak values.
std::vector<OrderTracker::Values> OrderTracker::turned_back(double at) const {
  std::vector<Values> out(blocks_.size());
  const double scale = 2.0 / static_cast<double>(points_);
  const Complex step = std::polar(1.0, -2.0 * std::numbers::pi * at / rate_);
  std::vector<Complex> turn(points_);
  turn[0] = scale;
  for (std::size_t i = 1; i < points_; ++i) turn[i] = turn[i - 1] * step;
  for (std::size_t b = 0; b < blocks_.size(); ++b) {
    const double turns = at * blocks_[b].begin;
    const Complex first = std::polar(1.0, -2.0 * std::numbers::pi * (turns - std::floor(turns)));
    for (std::size_t axis = 0; axis < kAxes; ++axis) {
      if (kept_[axis].empty()) continue;
      const float* values = kept_[axis].data() + b * points_;
      double re = 0.0, im = 0.0;
      for (std::size_t i = 0; i < points_; ++i) {
        re += static_cast<double>(values[i]) * turn[i].real();
        im += static_cast<double>(values[i]) * turn[i].imag();
      }
      out[b][axis] = first * Complex(re, im);
    }
  }
  return out;
}

std::vector<OrderTracker::Band> OrderTracker::bands_of(const std::vector<Values>& turned) const {
  static const std::array<double, kTrackLines> window = hann();
  const std::size_t longest = longest_stretch();
  std::vector<Band> bands;
  for (std::size_t b = 0; b + kTrackLines <= blocks_.size(); b += kTrackLines / 2) {
    // A window over a gap begins anew behind it.
    if (blocks_[b].stretch != blocks_[b + kTrackLines - 1].stretch) {
      while (blocks_[b + 1].stretch == blocks_[b].stretch) ++b;
      b = b + 1 - kTrackLines / 2;
      continue;
    }
    Values line{}, low{}, high{};
    double speed = 0.0, engine = 0.0;
    for (std::size_t i = 0; i < kTrackLines; ++i) {
      const double aside = 2.0 * std::numbers::pi * kNoiseAside * static_cast<double>(i) /
                           static_cast<double>(kTrackLines);
      const Complex turn = std::polar(1.0, aside);
      for (std::size_t axis = 0; axis < kAxes; ++axis) {
        const Complex part = window[i] * turned[b + i][axis];
        line[axis] += part;
        low[axis] += part * turn;
        high[axis] += part * std::conj(turn);
      }
      speed += window[i] * blocks_[b + i].speed;
      engine += window[i] * blocks_[b + i].engine_hz;
    }
    const double key = speed > 0.0 ? speed / kBandOfSpeed : engine;
    const double own = domain_ == Domain::road ? speed : engine;
    if (!(key >= 0.0 && own > 0.0)) continue;
    const auto at = static_cast<std::size_t>(key);
    if (at >= bands.size()) bands.resize(at + 1);
    Band& band = bands[at];
    for (std::size_t axis = 0; axis < kAxes; ++axis) {
      band.power[axis] += std::norm(line[axis]);
      band.low[axis] += std::norm(low[axis]);
      band.high[axis] += std::norm(high[axis]);
      if (blocks_[b].stretch == longest) band.sum[axis] += line[axis];
    }
    band.windows += 1.0;
    band.speed += speed;
    band.hz += own;
    band.seconds += 0.5 * static_cast<double>(kTrackLines) * block_length() / own;
  }
  return bands;
}

Track OrderTracker::track(double at) const {
  Track out;
  out.domain = domain_;
  out.at = at;
  out.bandwidth = kWindowBandwidth / (static_cast<double>(kTrackLines) * block_length());
  for (const Band& band : bands_of(turned_back(at))) {
    if (band.windows == 0.0) continue;
    TrackPoint point;
    point.speed = band.speed / band.windows;
    point.hz = at * band.hz / band.windows;
    point.seconds = band.seconds;
    double noise = 0.0;
    for (std::size_t axis = 0; axis < kAxes; ++axis) {
      const double beside = std::min(band.low[axis], band.high[axis]);
      point.amplitude[axis] = std::sqrt(std::max(0.0, band.power[axis] - beside) / band.windows);
      point.phase[axis] = std::arg(band.sum[axis]);
      noise += beside / band.windows;
    }
    point.noise = std::sqrt(noise);
    out.points.push_back(point);
  }
  return out;
}

}  // namespace perrev
