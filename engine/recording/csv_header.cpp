#include "engine/recording/csv_header.h"

#include <algorithm>
#include <array>

#include "engine/quantity/text.h"
#include "engine/recording/column_name.h"
#include "engine/recording/column_roles.h"
#include "engine/recording/csv_header_columns.h"
#include "engine/recording/csv_header_lines.h"
#include "engine/recording/csv_text.h"
#include "engine/recording/stamp.h"

namespace perrev {

namespace {

constexpr std::size_t kMostLines = 400, kMostBytes = 1 << 18;  // before the first row
constexpr std::size_t kRowsWithoutNames = 10;
constexpr std::string_view kWanted = "comma separated text or a WAV file";
constexpr std::string_view kNamesWanted =
    "name the columns in a line above the rows, with their units, such as "
    "\"time_s,ax_mps2,ay_mps2,az_mps2,speed_mps\"";

bool parted_by_blanks(std::string_view line) {
  std::size_t numbers = 0;
  for (const std::string& cell : cells_of(trimmed(line), ' ')) {
    if (is_number(cell, ','))
      ++numbers;
    else if (!stands_for_none(cell))
      return false;
  }
  return numbers > 1;
}

bool has_no_words(const std::vector<std::string>& cells, char comma) {
  return std::all_of(cells.begin(), cells.end(), [&](const std::string& cell) {
    return is_number(cell, comma) || read_stamp(cell) || stands_for_none(cell);
  });
}

Problem at_line(Problem told, std::size_t line) {
  told.place.line = static_cast<int>(line);
  return told;
}

}  // namespace

// Of options that name columns by hand.
bool HeaderSearch::named_by_hand(const std::vector<std::string>& cells) const {
  return std::any_of(options_.columns.begin(), options_.columns.end(), [&](const auto& each) {
    return column_named(cells, each.second).has_value();
  });
}

bool HeaderSearch::names_something(const std::vector<std::string>& cells) const {
  return named_by_hand(cells) ||
         std::any_of(cells.begin(), cells.end(), [&](const std::string& cell) {
           return !cell.empty() && guess_column(read_column_name(cell)).has_value();
         });
}

std::optional<Result<CsvLayout>> HeaderSearch::by(char separator, std::string_view line) const {
  const char comma = decimal_comma_beside(separator);
  const std::vector<std::string> row = cells_of(line, separator);
  if (!is_row(row, comma)) return std::nullopt;
  // A line that is mostly units may have the names above it.
  for (const bool units_too : {false, true})
    for (std::size_t i = above_.size(); i-- > 0;) {
      const std::vector<std::string> names = cells_of(without_marks(above_[i]), separator);
      // A separator at the end of either makes an empty cell more.
      const std::size_t more = std::max(names.size(), row.size());
      if (std::min(names.size(), row.size()) + 1 < more || is_row(names, comma)) continue;
      if (names.size() != row.size() && !(names.size() > row.size() ? names : row).back().empty())
        continue;
      const UnitsAmong among = units_among(names);
      if (!names_something(names) || (i > 0 && (units_too ? among.all() : among.most()))) continue;
      std::vector<std::string> units;
      for (std::size_t j = i + 1; j < above_.size() && units.empty(); ++j) {
        units = cells_of(without_marks(above_[j]), separator);
        if (units.size() + 1 < names.size() || !units_among(units).any()) units.clear();
      }
      return layout(separator, names, units, row, i + 1);
    }
  // Rows without names; a line of words and numbers is one where it is not the first of its width.
  const std::vector<std::string> none(row.size());
  if (!named_by_hand(none)) return std::nullopt;
  const std::vector<std::string> before =
      above_.empty() ? std::vector<std::string>{} : cells_of(above_.back(), separator);
  if (has_no_words(row, comma) || (before.size() == row.size() && is_row(before, comma)))
    return layout(separator, none, {}, row, above_.size() + 1);
  return std::nullopt;
}

Result<CsvLayout> HeaderSearch::layout(char separator, const std::vector<std::string>& names,
                                       const std::vector<std::string>& units,
                                       const std::vector<std::string>& row,
                                       std::size_t line) const {
  const ColumnRoles roles(names, units, row, options_);
  if (roles.problem()) return at_line(*roles.problem(), line);
  CsvLayout out{separator, decimal_comma_beside(separator), roles.stamps(), roles.columns(),
                roles.told()};
  for (RecordingFinding& each : out.told) each.line = line;
  return out;
}

std::optional<Result<CsvLayout>> HeaderSearch::take(std::string_view line) {
  if (line.find('\0') != std::string_view::npos)
    return Result<CsvLayout>(problem("it is no text", std::string(kWanted)));
  for (const char separator : kSeparators) {
    if (line.find(separator) == std::string_view::npos) continue;
    if (auto found = by(separator, line)) return found;
  }
  if (line.find_first_of(kAnySeparator) == std::string_view::npos)  // one column
    if (auto found = by('\t', line)) return found;
  bool row = false;
  for (const char separator : kSeparators)
    row = row || is_row(cells_of(line, separator), decimal_comma_beside(separator));
  if (row) ++rows_;
  above_.push_back(utf8_line(line));
  bytes_ += line.size();
  if (above_.size() >= kMostLines || bytes_ >= kMostBytes || rows_ >= kRowsWithoutNames)
    return Result<CsvLayout>(none());
  return std::nullopt;
}

Problem HeaderSearch::none() const {
  if (rows_ == 0 && above_.empty())
    return problem("there is nothing in it", std::string(kNamesWanted));
  if (!above_.empty() && trimmed(above_.front()).substr(0, 1) == "{")
    return problem("it is JSON and no recording", std::string(kWanted));
  for (std::size_t i = 0; i < above_.size(); ++i)
    if (parted_by_blanks(above_[i]))
      return at_line(
          problem("its columns are parted by blanks", "commas, semicolons or tabs between them"),
          i + 1);
  for (std::size_t i = 0; i < above_.size(); ++i)
    for (const char separator : kSeparators)
      if (names_something(cells_of(without_marks(above_[i]), separator)))
        return at_line(rows_ == 0 ? problem("no row of numbers follows the names of the columns",
                                            "rows of numbers below them, parted as they are by "
                                            "commas, semicolons, tabs or bars")
                                  : problem("no row has as many cells as there are names here",
                                            "a cell for each name; where commas are decimal "
                                            "points, cells parted by semicolons or tabs"),
                       i + 1);
  std::vector<std::string> names;
  for (const FileColumn& column : file_columns(above_, options_)) names.push_back(column.name);
  return at_line(
      problem("no line names columns that are known",
              std::string(kNamesWanted) + (names.empty() ? "" : "; or " + which_is_what(names))),
      1);
}

}  // namespace perrev
