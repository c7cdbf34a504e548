// Comma separated text of any logger to blocks of rows in SI.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/csv_header.h"
#include "engine/recording/csv_rows.h"
#include "engine/recording/finding_log.h"
#include "engine/recording/recorded_column.h"
#include "engine/recording/unit_watch.h"
#include "engine/result.h"

namespace perrev {

// Bytes cut anywhere; the blocks do not depend on where. What take or finish return refuses the
// whole, whatever blocks went before.
class CsvReader {
 public:
  CsvReader(const ReadingOptions& options, SampleSink sink, FindingLog& log)
      : options_(options), search_(options), sink_(std::move(sink)), log_(log) {}

  std::optional<Problem> take(std::string_view bytes);
  std::optional<Problem> finish();
  const std::vector<RecordedColumn>& columns() const { return layout_.columns; }

 private:
  // A whole line; the byte at its end is readable.
  std::optional<Problem> line(const char* at, const char* end);
  std::optional<Problem> hand_on();
  std::optional<Problem> settle(const Samples& first_rows);

  const ReadingOptions& options_;
  HeaderSearch search_;
  SampleSink sink_;
  FindingLog& log_;
  std::string begun_;  // a line of which the end has not come
  std::size_t lines_ = 0;
  CsvLayout layout_;
  std::optional<CsvRows> rows_;
  std::optional<UnitWatch> watch_;
};

}  // namespace perrev
