#include "engine/recording/csv_header_lines.h"

#include <algorithm>

#include "engine/quantity/text.h"
#include "engine/recording/csv_text.h"
#include "engine/recording/recording_units.h"
#include "engine/recording/stamp.h"

namespace perrev {

std::string utf8_line(std::string_view line) {
  std::string out;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t length = sequence_length(line, at);
    if (length > 0) {
      out += line.substr(at, length);
    } else {  // U+0080 to U+00FF
      const unsigned char byte = static_cast<unsigned char>(line[at]);
      out += static_cast<char>(0xC0u | byte >> 6);
      out += static_cast<char>(0x80u | (byte & 0x3Fu));
    }
    at += std::max<std::size_t>(1, length);
  }
  return out;
}

std::string_view without_marks(std::string_view line) {
  const std::size_t at = line.find_first_not_of("#%!/; \t");
  const bool marked =
      !line.empty() && std::string_view("#%!/").find(line[0]) != std::string_view::npos;
  return marked && at != std::string_view::npos ? line.substr(at) : line;
}

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

std::string_view bare_unit(std::string_view cell) {
  const bool bracketed = cell.size() > 2 && (cell.front() == '(' || cell.front() == '[');
  return bracketed ? cell.substr(1, cell.size() - 2) : cell;
}

UnitsAmong units_among(const std::vector<std::string>& cells) {
  UnitsAmong out;
  for (const std::string& cell : cells) {
    const std::string_view bare = bare_unit(cell);
    if (is_unit(bare))
      ++out.units;
    else if (!stands_for_none(bare))
      ++out.others;
  }
  return out;
}

}  // namespace perrev
