#include "engine/recording/first_rows.h"

#include <algorithm>
#include <cmath>

namespace perrev {

namespace {

constexpr double kMostInvalid = 0.95;  // of an axis: it is not there
constexpr std::size_t kFewRows = 8;

// Whether the column is next to empty, where another one has a value instead.
bool is_empty(std::size_t axis, const std::vector<RecordedRow>& first,
              const std::array<bool, kAxes>& columns) {
  std::size_t invalid = 0;
  bool others = false;
  for (const RecordedRow& row : first) {
    if (std::isfinite(row.value[axis])) continue;
    ++invalid;
    for (std::size_t b = 0; b < kAxes; ++b)
      others = others || (b != axis && columns[b] && std::isfinite(row.value[b]));
  }
  return others && static_cast<double>(invalid) > kMostInvalid * static_cast<double>(first.size());
}

// Of rows that are whole. Others between them leave holes, unless they are most: then they are
// those of another sensor.
std::vector<double> stamps_of(const std::vector<RecordedRow>& first,
                              const std::vector<std::size_t>& axes, bool holes) {
  std::vector<double> out;
  const RecordedRow* before = nullptr;
  for (const RecordedRow& row : first) {
    if (!row.is_whole(axes)) {
      if (holes) out.push_back(std::numeric_limits<double>::quiet_NaN());
      continue;
    }
    const bool twice = before && before->time == row.time &&
                       std::all_of(axes.begin(), axes.end(),
                                   [&](std::size_t a) { return before->value[a] == row.value[a]; });
    if (!twice) out.push_back(row.time);
    before = &row;
  }
  return out;
}

}  // namespace

bool RecordedRow::is_whole(const std::vector<std::size_t>& axes) const {
  return std::all_of(axes.begin(), axes.end(),
                     [&](std::size_t a) { return std::isfinite(value[a]); });
}

Result<RowsPlan> plan_rows(const std::vector<RecordedRow>& first,
                           const std::array<bool, kAxes>& columns, FindingLog& log) {
  RowsPlan out;
  for (std::size_t a = 0; a < kAxes; ++a) {
    if (!columns[a]) continue;
    if (is_empty(a, first, columns))
      log.tell("empty_axis", "An axis has a column but next to no values; it is left out.");
    else
      out.axes.push_back(a);
  }
  if (out.axes.empty())
    return problem("there is no acceleration in it",
                   "a column of acceleration for at least one axis");
  const auto whole = static_cast<std::size_t>(std::count_if(
      first.begin(), first.end(), [&](const RecordedRow& row) { return row.is_whole(out.axes); }));
  if (whole < kFewRows)
    return problem("only " + std::to_string(whole) + " rows have a time and an acceleration",
                   "some seconds of a drive");
  const auto clock = plan_clock(stamps_of(first, out.axes, 2 * whole > first.size()));
  if (!clock) return clock.error();
  out.clock = *clock;
  return out;
}

}  // namespace perrev
