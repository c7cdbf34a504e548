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
    const std::size_t done = drain(front, speed, engine);
    if (front.closed && done == front.size) {
      end_block(false);
      stretches.pop_front();
      continue;
    }
    for (const std::size_t a : axes_)
      front.acceleration[a].erase(
          front.acceleration[a].begin(),
          front.acceleration[a].begin() + static_cast<std::ptrdiff_t>(done));
    front.first += done;
    front.size -= done;
    return;
  }
}

std::size_t EvenBlocks::drain(Stretch& stretch, BesideThem& speed, BesideThem& engine) {
  const double known = std::min(speed.known_until(), engine.known_until());
  const bool has_speed = speed.there(), has_engine = engine.there();
  for (std::size_t i = 0; i < stretch.size; ++i) {
    const double time = stretch.begin + static_cast<double>(stretch.first + i) * step_;
    if (time > known) return i;
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
  return stretch.size;
}

void EvenBlocks::add(const Stretch& stretch, std::size_t i, double time, double speed,
                     double engine, bool has_speed, bool has_engine) {
  if (size_ == 0) block_.begin = time;
  for (const std::size_t a : axes_) block_.acceleration[a].push_back(stretch.acceleration[a][i]);
  if (has_speed) block_.speed.push_back(speed);
  if (has_engine) block_.engine_hz.push_back(engine);
  ++samples_;
  if (++size_ == kEvenBlock) end_block(true);
}

void EvenBlocks::end_block(bool goes_on) {
  if (size_ > 0) {
    block_.rate = 1.0 / step_;
    sink_(block_);
  }
  block_.goes_on = goes_on;
  for (std::vector<double>& axis : block_.acceleration) axis.clear();
  block_.speed.clear();
  block_.engine_hz.clear();
  size_ = 0;
}

}  // namespace perrev
