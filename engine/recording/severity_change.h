// How much less severe it is after the repair, over the speeds that both recordings drove.
//
// Speed and road make most of what is felt, so levels are compared band of speed by band, each as
// heavy as the recording that was there for less time. That the road was the same one only the
// driver knows.
#pragma once

#include <optional>

#include "engine/recording/severity.h"

namespace perrev {

struct SeverityChange {
  enum class Speeds {
    unknown,  // of one or both: all of both is compared
    apart,    // no speed in common: all of both, and it says nothing about the repair
    partly,   // less than kAlike of one of them was driven at speeds of the other
    alike,
  };
  static constexpr double kAlike = 0.8;

  Speeds speeds = Speeds::unknown;
  double shared = 0.0;  // of the time of the recording that shares less; 0 where unknown
  double before_speed = 0.0, after_speed = 0.0;  // m/s, means; 0 where unknown
  double before = 0.0, after = 0.0;              // vibration total values, m/s2 r.m.s.
  double factor = 1.0;                           // after over before
  double decibels = 0.0;                         // 20 log10 of it
  // 95 % of the factor, by how the level changed within each: pieces of 8 s and more, Student's t.
  // Nothing where they are too short for it, or apart.
  struct Range {
    double low, high;
  };
  std::optional<Range> factor_range;
  bool other_words = false;  // comfort_of differs
};

// Nothing where one has no whole second, or did not shake at all.
std::optional<SeverityChange> change_between(const Severity& before, const Severity& after);

}  // namespace perrev
