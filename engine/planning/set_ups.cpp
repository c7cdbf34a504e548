#include "engine/planning/set_ups.h"

namespace perrev {

SetUps::SetUps(const std::vector<Setup>& setups) {
  int bits = 0;
  for (const Setup& setup : setups)
    setups_.push_back({setup.minutes, setup.after, setup.beside ? bits++ : -1});
}

bool SetUps::is_below(int low, int high) const {
  for (; high >= 0; high = setups_[static_cast<std::size_t>(high)].after)
    if (high == low) return true;
  return false;
}

double SetUps::minutes(const Held& held, int setup) const {
  double out = 0.0;
  for (int at = setup; at >= 0; at = setups_[static_cast<std::size_t>(at)].after) {
    const int bit = setups_[static_cast<std::size_t>(at)].bit;
    if (bit >= 0 ? ((held.beside >> bit) & 1u) != 0 : is_below(at, held.standing)) break;
    out += setups_[static_cast<std::size_t>(at)].minutes;
  }
  return out;
}

Held SetUps::with(const Held& held, int setup) const {
  if (setup < 0) return held;
  Held out = held;
  const int bit = setups_[static_cast<std::size_t>(setup)].bit;
  if (bit >= 0)
    out.beside |= 1u << bit;
  else if (!is_below(setup, held.standing))
    out.standing = setup;
  return out;
}

}  // namespace perrev
