#include "src/answers/bay/bay_rows.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "engine/quantity/text.h"
#include "src/answers/bay/bay_input.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

std::vector<std::string> split(std::string_view text, std::string_view at) {
  std::vector<std::string> out;
  while (true) {
    const std::size_t found = text.find(at);
    out.emplace_back(trimmed(text.substr(0, found)));
    if (found == std::string_view::npos) return out;
    text.remove_prefix(found + at.size());
  }
}

// "0.002,0.012 in" as "0.002, 0.012 in": a comma with no blank behind it parts two numbers where it
// cannot be a decimal one, beside a point, a clock's colon or another comma.
std::string commas_apart(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::string_view word = text.substr(0, text.find_first_of(" ;"));
    const std::string_view inside = word.substr(0, word.find_last_not_of(',') + 1);
    const bool apart = inside.find_first_of(".:") != std::string_view::npos ||
                       std::count(inside.begin(), inside.end(), ',') > 1;
    for (std::size_t i = 0; i < word.size(); ++i) {
      out += word[i];
      if (apart && word[i] == ',' && i + 1 < word.size()) out += ' ';
    }
    text.remove_prefix(word.size());
    if (text.empty()) break;
    out += text.front();
    text.remove_prefix(1);
  }
  return out;
}

// Whether ", " goes from row to row, and not from column to column: nothing but the first column
// has to be given, and what follows does not read as the second.
bool rows_stand_in_commas(const BayField& field, std::string_view text) {
  if (text.find(';') != std::string_view::npos || field.most == 1) return false;
  for (std::size_t c = 1; c < field.columns.size(); ++c)
    if (field.columns[c].required) return false;
  const std::vector<std::string> cells = split(text, ", ");
  if (field.columns.size() < 2 || cells.size() < 2) return true;
  const BayColumn& second = field.columns[1];
  return second.around ? !cells[1].empty() && !read_place(cells[1])
                       : second.dimension == field.columns[0].dimension ||
                             !parse_quantity(cells[1], second.dimension);
}

// The unit of the nearest column to the right that is of the same kind.
std::string unit_beside(const BayField& field, const std::vector<std::string>& units,
                        std::size_t column) {
  const BayColumn& own = field.columns[column];
  for (std::size_t c = column + 1; c < units.size() && !own.around; ++c)
    if (field.columns[c].dimension == own.dimension && !field.columns[c].around &&
        !units[c].empty())
      return units[c];
  return {};
}

}  // namespace

Json rows_from(const BayField& field, const std::string& typed) {
  const std::string text = commas_apart(typed);
  const std::size_t columns = field.columns.size();
  std::vector<std::vector<std::string>> rows;
  const bool one_each = rows_stand_in_commas(field, text);
  for (std::string row : split(text, one_each ? ", " : ";")) {
    if (!one_each && row.ends_with(',')) row += ' ';  // an empty column at the end
    rows.push_back(one_each || columns == 1 ? std::vector<std::string>{row} : split(row, ", "));
  }
  std::vector<std::string> unit(columns);
  for (std::size_t r = rows.size(); r-- > 0;)
    for (std::size_t c = std::min(rows[r].size(), columns); c-- > 0;) {
      std::string& cell = rows[r][c];
      const std::string own(unit_in(cell));
      if (!own.empty())
        unit[c] = own;
      else if (unit[c].empty())
        unit[c] = unit_beside(field, unit, c);
      if (!own.empty()) continue;
      if (!cell.empty() && !unit[c].empty() && unit[c] != kClock) cell += " " + unit[c];
    }
  Json out = Json::array();
  for (const std::vector<std::string>& row : rows)
    out.push_back(columns == 1 ? Json(row.front()) : Json(row));
  return out;
}

}  // namespace perrev
