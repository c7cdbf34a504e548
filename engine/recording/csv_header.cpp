#include "engine/recording/csv_header.h"

#include <algorithm>
#include <array>

#include "engine/quantity/text.h"
#include "engine/recording/column_name.h"
#include "engine/recording/column_roles.h"
#include "engine/recording/csv_text.h"
#include "engine/recording/stamp.h"

namespace perrev {

namespace {

constexpr std::size_t kMostLines = 400, kMostBytes = 1 << 18;  // before the first row
constexpr std::size_t kRowsWithoutNames = 10;
constexpr std::array kSeparators = {'\t', ';', ',', '|'};
constexpr std::string_view kAnySeparator = "\t;,|";
constexpr std::string_view kNamesWanted =
    "name the columns in a line above the rows, with their units, such as "
    "\"time_s,ax_mps2,ay_mps2,az_mps2,speed_mps\"";

std::string_view without_marks(std::string_view line) {
  const std::size_t at = line.find_first_not_of("#%!/; \t");
  const bool marked =
      !line.empty() && std::string_view("#%!/").find(line[0]) != std::string_view::npos;
  return marked && at != std::string_view::npos ? line.substr(at) : line;
}

// More numbers and moments than words.
bool is_row(const std::vector<std::string>& cells, char comma) {
  std::size_t numbers = 0, words = 0;
  for (const std::string& cell : cells) {
    if (is_number(cell, comma) || read_stamp(cell))
      ++numbers;
    else if (!stands_for_none(cell))
      ++words;
  }
  return numbers > 0 && numbers >= words;
}

// Whether any cell is a unit, or every one that is not empty.
bool are_units(const std::vector<std::string>& cells, bool all) {
  std::size_t units = 0, others = 0;
  for (const std::string& cell : cells) {
    std::string_view bare = cell;
    if (bare.size() > 2 && (bare.front() == '(' || bare.front() == '['))
      bare = bare.substr(1, bare.size() - 2);
    if (is_unit(bare))
      ++units;
    else if (!stands_for_none(bare))
      ++others;
  }
  return units > 0 && (!all || others == 0);
}

Problem at_line(Problem told, std::size_t line) {
  told.place.line = static_cast<int>(line);
  return told;
}

}  // namespace

bool HeaderSearch::names_something(const std::vector<std::string>& cells) const {
  return std::any_of(cells.begin(), cells.end(), [&](const std::string& cell) {
    if (cell.empty()) return false;
    for (const auto& [role, name] : options_.columns)
      if (!name.empty() && lower_case(name) == lower_case(cell)) return true;
    return guess_column(read_column_name(cell)).has_value();
  });
}

std::optional<Result<CsvLayout>> HeaderSearch::by(char separator, std::string_view line) const {
  const char comma = separator == ',' ? '.' : ',';
  const std::vector<std::string> row = cells_of(line, separator);
  if (!is_row(row, comma)) return std::nullopt;
  for (std::size_t i = above_.size(); i-- > 0;) {
    const std::vector<std::string> names = cells_of(without_marks(above_[i]), separator);
    // A separator at the end of either makes an empty cell more.
    const std::size_t more = std::max(names.size(), row.size());
    if (std::min(names.size(), row.size()) + 1 < more || is_row(names, comma)) continue;
    if (names.size() != row.size() && !(names.size() > row.size() ? names : row).back().empty())
      continue;
    if (!names_something(names) || (i > 0 && are_units(names, true))) continue;
    std::vector<std::string> units;
    for (std::size_t j = i + 1; j < above_.size() && units.empty(); ++j) {
      units = cells_of(without_marks(above_[j]), separator);
      if (units.size() + 1 < names.size() || !are_units(units, false)) units.clear();
    }
    const ColumnRoles roles(names, units, row, options_);
    if (roles.problem()) return Result<CsvLayout>(at_line(*roles.problem(), i + 1));
    CsvLayout out{separator, comma, roles.stamps(), roles.columns(), roles.told()};
    for (RecordingFinding& each : out.told) each.line = i + 1;
    return Result<CsvLayout>(std::move(out));
  }
  return std::nullopt;
}

std::optional<Result<CsvLayout>> HeaderSearch::take(std::string_view line) {
  for (const char separator : kSeparators) {
    if (line.find(separator) == std::string_view::npos) continue;
    if (auto found = by(separator, line)) return found;
  }
  if (line.find_first_of(kAnySeparator) == std::string_view::npos)  // one column
    if (auto found = by('\t', line)) return found;
  bool row = false;
  for (const char separator : kSeparators)
    row = row || is_row(cells_of(line, separator), separator == ',' ? '.' : ',');
  if (row) ++rows_;
  above_.emplace_back(line);
  bytes_ += line.size();
  if (above_.size() >= kMostLines || bytes_ >= kMostBytes || rows_ >= kRowsWithoutNames)
    return Result<CsvLayout>(none());
  return std::nullopt;
}

Problem HeaderSearch::none() const {
  if (rows_ == 0 && above_.empty())
    return problem("there is nothing in it", std::string(kNamesWanted));
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
  return at_line(problem("no line names columns that are known", std::string(kNamesWanted)), 1);
}

}  // namespace perrev
