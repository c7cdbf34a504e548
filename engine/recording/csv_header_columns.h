// The columns of a text, read or not: for a person who has to say which is what.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/recorded_column.h"

namespace perrev {

struct FileColumn {
  std::string name;          // by which it is named by hand: as the file has it, or numbered_column
  std::string unit;          // of its name or below it; empty where there is none
  std::string first;         // the cell in the first row
  std::optional<Role> role;  // that it would be read as
};

// "column 3" of 2: the name of a column whose own is empty or stands twice.
std::string numbered_column(std::size_t column);
// By name, in any case of letters, else by number.
std::optional<std::size_t> column_named(const std::vector<std::string>& names,
                                        std::string_view name);

// What to say where columns are not known: "say which column is what: a, b, column 3".
std::string which_is_what(const std::vector<std::string>& names);

// Of the first lines of a text. Where no line names anything known the names are those of the first
// line that has as many cells as the rows, or numbers. Empty where no two rows of several cells are
// among them.
std::vector<FileColumn> file_columns(const std::vector<std::string>& lines,
                                     const ReadingOptions& options);

// Keeps as much of a file as that needs.
class FileBeginning {
 public:
  void take(std::string_view bytes);
  std::vector<FileColumn> columns(const ReadingOptions& options) const;

 private:
  std::string bytes_;
};

}  // namespace perrev
