// How a logger counts time, from the stamps of its first rows.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "engine/result.h"

namespace perrev {

// So many stamps in a row that go back, each later than the last, are a clock that was set back.
inline constexpr std::size_t kSetBack = 5;

struct ClockPlan {
  double step = 0.0;  // s between rows
  double gap = 0.0;   // s, longest that is bridged between two rows
  bool coarse = false;
  double first = 0.0;  // s, when the first row was measured
  double room = 0.0;   // s, by which the true time may lie behind a coarse stamp
  double slack = 0.0;  // s, by which a stamp itself may be wrong
  double batch = 0.0;  // rows with one stamp, at the middle
};

// From the stamps of the first rows, at least two of them; not-a-number where rows between are not
// known. The problem has no line.
Result<ClockPlan> plan_clock(const std::vector<double>& stamps);

// "12 ms", "2.5 s"; "100 rows a second".
std::string in_seconds(double value);
std::string rows_a_second(double rate);

}  // namespace perrev
