#include "engine/recording/csv_rows.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>
#include <string>

#include "engine/quantity/text.h"
#include "engine/recording/csv_text.h"
#include "engine/recording/plain_number.h"
#include "engine/recording/stamp.h"

namespace perrev {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr double kMostBad = 0.1;                 // of the rows, unreadable
constexpr double kDay = 86400.0, kNoDate = 2e5;  // s: what is more than some days has a date
constexpr std::size_t kTime = static_cast<std::size_t>(Role::time);
constexpr std::size_t kSpeed = static_cast<std::size_t>(Role::speed);

const char* end_of_cell(const char* at, const char* end, char separator) {
  bool quotes = false;
  for (; at < end && (quotes || *at != separator); ++at)
    if (*at == '"') quotes = !quotes;
  return at;
}

}  // namespace

CsvRows::CsvRows(const CsvLayout& layout, double rows_per_second, FindingLog& log)
    : separator_(layout.separator),
      comma_(layout.comma),
      stamps_(layout.stamps),
      row_step_(1.0 / rows_per_second),
      log_(log) {
  for (const RecordedColumn& column : layout.columns) {
    const std::size_t role = static_cast<std::size_t>(column.role);
    if (targets_.size() <= column.column) targets_.resize(column.column + 1, -1);
    targets_[column.column] = static_cast<int>(role);
    if (column.role == Role::time) row_step_ = 0.0;
    read_.push_back(role);
    values_[role].resize(kBlockRows);
  }
  if (values_[kTime].empty()) values_[kTime].resize(kBlockRows);
}

void CsvRows::start(std::size_t first_line) {
  rows_ = 0;
  block_.first_line = first_line;
}

void CsvRows::add(const char* at, const char* end) {
  if (end > at && end[-1] == '\r') --end;
  const std::size_t row = rows_;
  const char* first = at;
  while (first < end && (*first == ' ' || *first == '\t')) ++first;
  const bool nothing = first == end || *first == '#';
  if (nothing) {
    values_[kTime][row] = kNone;
    for (const std::size_t target : read_) values_[target][row] = kNone;
    ++rows_;
    return;
  }
  bad_cell_ = false;
  std::size_t c = 0;
  for (; c < targets_.size(); ++c) {
    const int target = targets_[c];
    if (target < 0) {
      at = end_of_cell(at, end, separator_);
    } else {
      double& value = values_[static_cast<std::size_t>(target)][row];
      const char* const next = read_number(at, comma_, value);
      const bool whole = next != at && (next == end || *next == separator_);
      at = whole ? next : odd_cell(at, end, static_cast<std::size_t>(target));
    }
    if (at == end) break;
    ++at;
  }
  for (++c; c < targets_.size(); ++c)
    if (targets_[c] >= 0) values_[static_cast<std::size_t>(targets_[c])][row] = kNone;
  if (row_step_ > 0.0) values_[kTime][row] = static_cast<double>(real_rows_) * row_step_;
  note_left_out(row);
  ++real_rows_;
  if (bad_cell_ && bad_rows_++ == 0) first_bad_ = line();
  ++rows_;
}

void CsvRows::note_left_out(std::size_t row) {
  if (!values_[kSpeed].empty() && values_[kSpeed][row] == -1.0) {
    values_[kSpeed][row] = kNone;
    log_.mend("speed_none",
              "A speed of -1, by which receivers say that they have none, is left out.", line());
  }
  if (!std::isfinite(values_[kTime][row]))
    log_.mend("no_time", "A row without a time is left out.", line());
}

// A time of the day as near to the one before as whole days make it.
double CsvRows::past_midnight(double moment) {
  if (moment >= kNoDate) return moment;
  const double days = last_moment_ ? std::round((*last_moment_ - moment) / kDay) : 0.0;
  if (days > days_) log_.tell("midnight", "The times pass midnight and count on.", line());
  days_ = std::max(days_, days);
  last_moment_ = moment + days * kDay;
  return *last_moment_;
}

// Blanks, quotes, moments, words for none, and what can't be read.
const char* CsvRows::odd_cell(const char* at, const char* end, std::size_t target) {
  const char* const stop = end_of_cell(at, end, separator_);
  double& value = values_[target][rows_];
  value = kNone;
  std::string cell = lower_case(trimmed(std::string_view(at, static_cast<std::size_t>(stop - at))));
  if (cell.size() > 1 && cell.front() == '"' && cell.back() == '"')
    cell = trimmed(std::string_view(cell).substr(1, cell.size() - 2));
  if (target == kTime && stamps_) {
    if (const auto moment = read_stamp(upper_case(cell))) value = past_midnight(*moment);
  } else {
    double read = 0.0;
    cell += '\n';
    const char* const next = read_number(cell.c_str(), comma_, read);
    cell.pop_back();
    if (next != cell.c_str() && next == cell.c_str() + cell.size()) value = read;
  }
  if (std::isfinite(value) || stands_for_none(cell)) return stop;
  bad_cell_ = true;
  log_.mend("unreadable", "A cell that is no number is left out: " + quoted(cell) + ".", line());
  return stop;
}

Samples& CsvRows::block() {
  const auto copy = [&](std::size_t target, std::vector<double>& to) {
    const std::vector<double>& from = values_[target];
    to.assign(from.begin(), from.begin() + (from.empty() ? 0 : static_cast<std::ptrdiff_t>(rows_)));
  };
  copy(kTime, block_.time);
  for (std::size_t a = 0; a < kAxes; ++a)
    copy(static_cast<std::size_t>(Role::x) + a, block_.acceleration[a]);
  copy(kSpeed, block_.speed);
  copy(static_cast<std::size_t>(Role::engine), block_.engine_hz);
  return block_;
}

std::optional<Problem> CsvRows::finish() const {
  if (static_cast<double>(bad_rows_) <= kMostBad * static_cast<double>(real_rows_))
    return std::nullopt;
  Problem out = problem(std::to_string(bad_rows_) + " of " + std::to_string(real_rows_) +
                            " rows have cells that are no numbers, the first one here",
                        "rows of numbers under the names of their columns");
  out.place.line = static_cast<int>(first_bad_);
  return out;
}

}  // namespace perrev
