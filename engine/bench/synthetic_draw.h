// Pieces that drawing a complaint and judging it share; internal to synthetic_*.cpp.
#pragma once

#include <cmath>
#include <cstddef>
#include <numbers>

#include "engine/bench/synthetic_complaint.h"
#include "engine/normal.h"

namespace perrev {

// The number of size and person in steps, each even within itself: in standard deviations.
inline constexpr std::size_t kSyntheticLevels = 57;
inline constexpr double kWidestLevel = 3.5;
inline constexpr double kLevelStep = 2.0 * kWidestLevel / (kSyntheticLevels - 1.0);
inline double synthetic_level(std::size_t n) {
  return kLevelStep * static_cast<double>(n) - kWidestLevel;
}
inline double synthetic_density(std::size_t n) {
  const double z = synthetic_level(n);
  return std::exp(-0.5 * z * z);
}

inline double true_speed(int named, bool satellite) {
  return named_speed(named) / (satellite ? 1.0 : kDashHigh);
}

// P(the k-th speed is named) at one number.
inline double begins_share(const SaidOfWay& said, const AskedSpeeds& asked, int k, double db,
                           double ever) {
  const std::size_t b = static_cast<std::size_t>(k);
  const std::vector<double>& edges = asked.begins.edges;
  return of_band(asked.begins, b, said.begins_below(edges[b], db, ever),
                 said.begins_below(edges[b + 1], db, ever));
}
inline double ends_share(const SaidOfWay& said, const AskedSpeeds& asked, int k, double db,
                         double ever) {
  const std::size_t b = static_cast<std::size_t>(k);
  const std::vector<double>& edges = asked.ends.edges;
  return of_band(asked.ends, b, said.ends_below(edges[b], db, ever),
                 said.ends_below(edges[b + 1], db, ever));
}

// Lines beyond what is recorded never show in a reading: then something else was caught.
inline bool can_be_read(double line_hz) { return line_hz >= 1.2 && line_hz <= 180.0; }
inline constexpr double kLowestReading = 1.0, kHighestReading = 200.0;  // Hz

// Of a reading that caught another vibration, and of one that did so now and then.
inline double other_density(double hz) {
  return 1.0 / (hz * std::log(kHighestReading / kLowestReading));
}
inline double caught_density(double hz, double line_hz, double sd) {
  return kCaughtOther * other_density(hz) + (1.0 - kCaughtOther) * normal_density(hz, line_hz, sd);
}

inline double reading_density(double hz, double line_hz) {
  if (!can_be_read(line_hz)) return other_density(hz);
  return caught_density(hz, line_hz, line_hz * std::hypot(kCircumferenceSd, kReadingNoise));
}

inline bool drawn(Random& random, double share) { return random.real() < share; }

}  // namespace perrev
