// What the first rows of a recording say of the rest: which axes it has, and how it counts time.
#pragma once

#include <array>
#include <cstddef>
#include <limits>
#include <vector>

#include "engine/recording/clock_plan.h"
#include "engine/recording/finding_log.h"
#include "engine/recording/samples.h"
#include "engine/result.h"

namespace perrev {

struct RecordedRow {
  double time = 0.0;
  std::array<double, kAxes> value{};  // not-a-number: none
  double speed = std::numeric_limits<double>::quiet_NaN();
  double engine = std::numeric_limits<double>::quiet_NaN();
  std::size_t line = 0;

  // Whether it has a value of each of these axes.
  bool is_whole(const std::vector<std::size_t>& axes) const;
};

struct RowsPlan {
  std::vector<std::size_t> axes;
  ClockPlan clock;
};

// An axis that has a column but next to no value is not there, and that is told. The problem has no
// line.
Result<RowsPlan> plan_rows(const std::vector<RecordedRow>& first,
                           const std::array<bool, kAxes>& columns, FindingLog& log);

}  // namespace perrev
