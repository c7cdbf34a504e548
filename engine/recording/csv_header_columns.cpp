#include "engine/recording/csv_header_columns.h"

#include <algorithm>

#include "engine/quantity/text.h"
#include "engine/recording/column_name.h"
#include "engine/recording/column_roles.h"
#include "engine/recording/csv_header_lines.h"
#include "engine/recording/csv_text.h"

namespace perrev {

namespace {

using Cells = std::vector<std::string>;

constexpr std::size_t kBeginning = 1 << 18;         // bytes
constexpr std::string_view kMark = "\xEF\xBB\xBF";  // byte order mark of UTF-8
constexpr std::string_view kNumbered = "column ";

// What a person can name each by.
Cells names_to_say(const Cells& names) {
  Cells out;
  for (std::size_t c = 0; c < names.size(); ++c) {
    const std::string& name = names[c];
    const auto alike = [&](const std::string& one) { return lower_case(one) == lower_case(name); };
    const bool good = !name.empty() && std::count_if(names.begin(), names.end(), alike) == 1;
    out.push_back(good ? name : numbered_column(c));
  }
  return out;
}

// Lines cut at one separator, from the names on down.
struct Cut {
  char separator = ',';
  std::size_t cells = 0;
  Cells first, names, units;
};

Cells cut(const std::string& line, char separator) {
  return cells_of(without_marks(line), separator);
}

// Separator and width of the last row: what stands above the rows may look like one.
std::optional<Cut> width_of(const std::vector<std::string>& lines) {
  for (const char separator : kSeparators) {
    Cut out{separator, 0, {}, {}, {}};
    for (std::size_t i = lines.size(); i-- > 0;) {
      const Cells cells = cells_of(lines[i], separator);
      if (cells.size() < 2 || !is_row(cells, decimal_comma_beside(separator))) continue;
      if (out.cells == cells.size()) return out;
      if (out.cells > 0) break;
      out.cells = cells.size();
    }
  }
  return std::nullopt;
}

bool names_nothing(const Cells& cells, char comma) {
  return is_row(cells, comma) || units_among(cells).most() ||
         std::all_of(cells.begin(), cells.end(), stands_for_none);
}

bool names_known(const Cells& cells) {
  return std::any_of(cells.begin(), cells.end(), [](const std::string& cell) {
    return guess_column(read_column_name(cell)).has_value();
  });
}

// A separator at the end makes an empty cell more.
bool fits(const Cells& cells, std::size_t count) {
  return cells.size() == count || (cells.size() == count + 1 && cells.back().empty());
}

void find_names(Cut& of, const std::vector<std::string>& lines) {
  const char comma = decimal_comma_beside(of.separator);
  std::size_t at = lines.size();
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const Cells cells = cut(lines[i], of.separator);
    if (!fits(cells, of.cells) || names_nothing(cells, comma)) continue;
    const bool known = names_known(cells);
    if (at < lines.size() && !known) continue;
    of.names = cells;
    at = i;
    if (known) break;
  }
  for (std::size_t i = at == lines.size() ? 0 : at + 1; i < lines.size() && of.first.empty(); ++i) {
    const Cells cells = cut(lines[i], of.separator);
    if (!fits(cells, of.cells)) continue;
    if (is_row(cells, comma))
      of.first = cells;
    else if (at < lines.size() && units_among(cells).any())
      of.units = cells;
  }
  of.names.resize(of.cells);
}

}  // namespace

std::string numbered_column(std::size_t column) {
  return std::string(kNumbered) + std::to_string(column + 1);
}

std::optional<std::size_t> column_named(const Cells& names, std::string_view name) {
  const std::string wanted = lower_case(trimmed(name));
  for (std::size_t c = 0; c < names.size(); ++c)
    if (!wanted.empty() && lower_case(names[c]) == wanted) return c;
  for (std::size_t c = 0; c < names.size(); ++c)
    if (numbered_column(c) == wanted) return c;
  return std::nullopt;
}

std::string which_is_what(const Cells& names) {
  constexpr std::size_t kMost = 20;
  Cells said = names_to_say(names);
  if (said.size() > kMost) {
    said.resize(kMost);
    said.emplace_back("...");
  }
  return "say which column is what: " + joined(said);
}

std::vector<FileColumn> file_columns(const std::vector<std::string>& lines,
                                     const ReadingOptions& options) {
  auto found = width_of(lines);
  if (!found) return {};
  find_names(*found, lines);
  const Cells names = names_to_say(found->names);
  std::vector<FileColumn> out;
  for (std::size_t c = 0; c < found->cells; ++c) {
    FileColumn column{names[c], read_column_name(found->names[c]).unit,
                      c < found->first.size() ? found->first[c] : "", std::nullopt};
    if (column.unit.empty() && c < found->units.size() && is_unit(bare_unit(found->units[c])))
      column.unit = bare_unit(found->units[c]);
    out.push_back(std::move(column));
  }
  const ColumnRoles roles(found->names, found->units, found->first, options);
  for (const RecordedColumn& read : roles.columns()) out[read.column].role = read.role;
  return out;
}

void FileBeginning::take(std::string_view bytes) {
  bytes_ += bytes.substr(0, kBeginning - std::min(kBeginning, bytes_.size()));
}

std::vector<FileColumn> FileBeginning::columns(const ReadingOptions& options) const {
  std::vector<std::string> lines;
  for (std::size_t from = bytes_.compare(0, kMark.size(), kMark) == 0 ? kMark.size() : 0;
       from < bytes_.size();) {
    const std::size_t end = std::min(bytes_.find('\n', from), bytes_.size());
    if (end == kBeginning) break;  // cut off
    std::string_view line = std::string_view(bytes_).substr(from, end - from);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    lines.push_back(utf8_line(line));
    from = end + 1;
  }
  return file_columns(lines, options);
}

}  // namespace perrev
