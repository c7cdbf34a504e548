// Rows of text to blocks of numbers, in the file's own units.
//
// Every line becomes a row, so that the line of a row is that of the block's first plus its index:
// empty lines and comments are rows without a time, which all that follows leaves out. Times of the
// day count on past midnight.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "engine/recording/csv_header.h"
#include "engine/recording/finding_log.h"
#include "engine/recording/samples.h"
#include "engine/result.h"

namespace perrev {

inline constexpr std::size_t kBlockRows = 4096;

class CsvRows {
 public:
  // `rows_per_second` counts where there is no column of time.
  CsvRows(const CsvLayout& layout, double rows_per_second, FindingLog& log);

  // A line from `at` to `end`, which must be readable and no part of a number. Not more than
  // kBlockRows between two calls of `start`.
  void add(const char* at, const char* end);
  bool full() const { return rows_ == kBlockRows; }
  std::size_t size() const { return rows_; }
  // What was read since the last start.
  Samples& block();
  void start(std::size_t first_line);

  // That most rows could not be read.
  std::optional<Problem> finish() const;

 private:
  const char* odd_cell(const char* at, const char* end, std::size_t target);
  void note_left_out(std::size_t row);
  double past_midnight(double moment);
  std::size_t line() const { return block_.first_line + rows_; }

  char separator_, comma_;
  bool stamps_;
  double row_step_;           // s; 0: there is a column of time
  std::vector<int> targets_;  // by column, of values_; -1: not read
  std::array<std::vector<double>, kRoles> values_;
  std::vector<std::size_t> read_;  // the targets in use
  Samples block_;
  std::size_t rows_ = 0;
  bool bad_cell_ = false;  // in this row
  std::optional<double> last_moment_;
  double days_ = 0.0;  // that it has passed
  std::size_t real_rows_ = 0, bad_rows_ = 0, first_bad_ = 0;
  FindingLog& log_;
};

}  // namespace perrev
