// Where the rows of a text begin, and what their columns hold.
//
// The names stand in the nearest line above the first row that has as many cells as it and names
// something; a line of units may stand between them, and any number of other lines before. A name
// in comment marks ("# time,ax") is one too. Rows without names can be named by hand.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/finding_log.h"
#include "engine/recording/recorded_column.h"
#include "engine/result.h"

namespace perrev {

struct CsvLayout {
  char separator = ',';
  char comma = '.';                     // read as a decimal point beside it
  bool stamps = false;                  // time is written as moments
  std::vector<RecordedColumn> columns;  // by role
  std::vector<RecordingFinding> told;
};

// Collects lines until the first row is there.
class HeaderSearch {
 public:
  explicit HeaderSearch(const ReadingOptions& options) : options_(options) {}

  // The layout once `line` is a row of it; nothing while it may still come.
  std::optional<Result<CsvLayout>> take(std::string_view line);
  // What to say where the text ends without a row.
  Problem none() const;

 private:
  std::optional<Result<CsvLayout>> by(char separator, std::string_view line) const;
  Result<CsvLayout> layout(char separator, const std::vector<std::string>& names,
                           const std::vector<std::string>& units,
                           const std::vector<std::string>& row, std::size_t line) const;
  bool named_by_hand(const std::vector<std::string>& cells) const;
  bool names_something(const std::vector<std::string>& cells) const;

  const ReadingOptions& options_;
  std::vector<std::string> above_;
  std::size_t bytes_ = 0;
  std::size_t rows_ = 0;  // without names above them
};

}  // namespace perrev
