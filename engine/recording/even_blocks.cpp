#include "engine/recording/even_blocks.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/recording/timeline.h"

namespace perrev {

double BesideThem::known_until() const {
  return trace ? trace->known_until() : std::numeric_limits<double>::infinity();
}

void EvenBlocks::drain(std::deque<Stretch>& stretches, BesideThem& speed, BesideThem& engine) {
  while (!stretches.empty()) {
    Stretch& front = stretches.front();
    drain(front, speed, engine);
    if (!front.closed || front.used < front.size) return forget_used(front);
    end_block(false);
    stretches.pop_front();
  }
}

// Seldom: each time all that is left moves to the front.
void EvenBlocks::forget_used(Stretch& stretch) {
  if (2 * stretch.used < stretch.size) return;
  for (const std::size_t a : axes_)
    stretch.acceleration[a].erase(
        stretch.acceleration[a].begin(),
        stretch.acceleration[a].begin() + static_cast<std::ptrdiff_t>(stretch.used));
  stretch.first += stretch.used;
  stretch.size -= stretch.used;
  stretch.used = 0;
}

void EvenBlocks::drain(Stretch& stretch, BesideThem& speed, BesideThem& engine) {
  const double known = std::min(speed.known_until(), engine.known_until());
  const bool has_speed = speed.there(), has_engine = engine.there();
  for (std::size_t& i = stretch.used; i < stretch.size; ++i) {
    const double time = stretch.begin + static_cast<double>(stretch.first + i) * step_;
    if (time > known) return;
    const double v = has_speed ? speed.at(time) : 0.0, n = has_engine ? engine.at(time) : 0.0;
    if (std::isfinite(v) && std::isfinite(n)) {
      add(stretch, i, time, v, n, has_speed, has_engine);
      continue;
    }
    if (!std::isfinite(v))
      ++without_speed_;
    else
      ++without_engine_;
    end_block(false);
  }
}

void EvenBlocks::add(const Stretch& stretch, std::size_t i, double time, double speed,
                     double engine, bool has_speed, bool has_engine) {
  if (size_ == 0) block_.begin = time;
  for (const std::size_t a : axes_) block_.acceleration[a].push_back(stretch.acceleration[a][i]);
  if (has_speed) block_.speed.push_back(speed);
  if (has_engine) block_.engine_hz.push_back(engine);
  highest_speed_ = std::max(highest_speed_, speed);
  highest_engine_ = std::max(highest_engine_, engine);
  ++samples_;
  longest_ = std::max(longest_, ++piece_);
  if (++size_ == kEvenBlock) end_block(true);
}

void EvenBlocks::end_block(bool goes_on) {
  if (size_ > 0) {
    block_.rate = 1.0 / step_;
    sink_(block_);
  }
  block_.goes_on = goes_on;
  if (!goes_on) piece_ = 0;
  for (std::vector<double>& axis : block_.acceleration) axis.clear();
  block_.speed.clear();
  block_.engine_hz.clear();
  size_ = 0;
}

}  // namespace perrev
