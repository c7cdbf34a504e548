// Which column stands for which role, and in which unit.
//
// Named by hand (by name or number, csv_header_columns.h), or by its name (column_name.h); of
// several that could be meant the one without gravity, or of the satellites' speed, is taken and
// that is told. A unit given by hand counts before the name's, the name's before the line of units.
// An acceleration without any is left to gravity (unit_watch.h), a time to be a moment or the
// seconds since 1970; all else is asked for.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/recording/recorded_column.h"
#include "engine/result.h"

namespace perrev {

class ColumnRoles {
 public:
  // `row` is the first one, `units` may be empty.
  ColumnRoles(const std::vector<std::string>& names, const std::vector<std::string>& units,
              const std::vector<std::string>& row, const ReadingOptions& options);

  const std::optional<Problem>& problem() const { return problem_; }
  const std::vector<RecordedColumn>& columns() const { return columns_; }  // by role
  bool stamps() const { return stamps_; }
  const std::vector<RecordingFinding>& told() const { return told_; }

 private:
  void choose(Role role);
  void choose_by_hand(Role role, const std::string& name);
  void choose_by_name(Role role);
  void refuse_shared();
  void settle_unit(RecordedColumn& column);
  void settle_time(RecordedColumn& column);
  void refuse(std::string what, std::string right);
  void tell(std::string id, std::string what);

  const std::vector<std::string>&names_, &units_, &row_;
  const ReadingOptions& options_;
  std::vector<RecordedColumn> columns_;
  std::vector<RecordingFinding> told_;
  std::optional<Problem> problem_;
  bool stamps_ = false;
};

}  // namespace perrev
