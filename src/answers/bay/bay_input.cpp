#include "src/answers/bay/bay_input.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/quantity/angle.h"
#include "engine/quantity/text.h"

namespace perrev {

using Json = nlohmann::ordered_json;

namespace {

constexpr std::string_view kTurning = "rpm";  // what a frequency is in the bay

bool is_numeric(char c) {
  return is_digit(c) || c == '.' || c == ',' || c == '/' || c == '-' || c == '+' || c == ' ';
}

// Hours of "4 o'clock" or "4:30 o'clock"; nothing where it is none.
std::optional<double> clock_hours(std::string_view text) {
  const bool named = text.size() > kClock.size() && text.ends_with(kClock);
  const std::string_view hours =
      named ? trimmed(text.substr(0, text.size() - kClock.size())) : text;
  const std::size_t colon = hours.find(':');
  if (!named && colon == std::string_view::npos) return std::nullopt;
  const auto whole = parse_decimal(hours.substr(0, colon));
  const auto minutes =
      colon == std::string_view::npos ? std::optional(0.0) : parse_decimal(hours.substr(colon + 1));
  if (!whole || !minutes || *whole < 1.0 || *whole > 12.0 || *whole != std::floor(*whole) ||
      *minutes < 0.0 || *minutes >= 60.0)
    return std::nullopt;
  return std::fmod(*whole, 12.0) + *minutes / 60.0;
}

// Below zero only where the column takes it: a dial reads to both sides of its zero.
Result<double> read_signed(std::string_view text, const BayColumn& column) {
  const bool below = column.low < 0.0 && !text.empty() && text.front() == '-';
  const auto size = parse_quantity(below ? trimmed(text.substr(1)) : text, column.dimension);
  return below && size ? Result<double>(-*size) : size;
}

class GivenReader {
 public:
  GivenReader(const BayTool& tool, const Json& given, Units units)
      : tool_(tool), given_(given), units_(units) {}

  Result<BayInput, Problems> read() {
    if (!given_.is_object()) {
      Problem wrong = problem("what is given is no object", "{\"field\": \"0.8 mm\"}");
      wrong.place.pointer = "/given";
      return Problems{std::move(wrong)};
    }
    refuse_unknown();
    for (const BayField& field : tool_.fields) read_field(field);
    if (!problems_.empty()) return problems_;
    return input_;
  }

 private:
  void fault(const std::string& pointer, Problem problem) {
    problem.place.pointer = "/given/" + pointer;
    problems_.push_back(std::move(problem));
  }

  void refuse_unknown() {
    std::vector<std::string> ids;
    for (const BayField& field : tool_.fields) ids.emplace_back(field.id);
    for (const auto& [key, value] : given_.items()) {
      bool known = false;
      for (const std::string& id : ids) known = known || id == key;
      if (!known)
        fault(pointer_part(key), problem("there is no field " + perrev::quoted(key),
                                         near_or(key, ids, "one of " + joined(ids))));
    }
  }

  void read_field(const BayField& field) {
    const std::string id(field.id);
    const Json* found = given_.contains(id) ? &given_[id] : nullptr;
    if (found && (found->is_null() || (found->is_string() && found->get<std::string>().empty()) ||
                  (found->is_array() && found->empty())))
      found = nullptr;
    if (!found && field.usual.empty()) {
      if (field.required)
        fault(id, problem(lower_first(field.label) + " is not given", std::string(field.help)));
      return;
    }
    if (field.kind == BayField::Kind::rows) return read_rows(field, *found);
    if (found && !found->is_string())
      return fault(id, problem("this is no text", "a text with its unit"));
    const std::string text = found ? found->get<std::string>() : std::string(field.usual);
    if (field.kind == BayField::Kind::choice) return read_choice(field, text);
    const auto value = read_cell(field.columns.front(), text, id);
    if (value) input_.values[id] = {{value}};
  }

  void read_choice(const BayField& field, const std::string& text) {
    std::vector<std::string> ids;
    for (const BayChoice& choice : field.choices) {
      if (choice.id == text) {
        input_.choices[std::string(field.id)] = text;
        return;
      }
      ids.emplace_back(choice.id);
    }
    fault(std::string(field.id), problem(perrev::quoted(text) + " is none of the choices",
                                         near_or(text, ids, joined(ids))));
  }

  void read_rows(const BayField& field, const Json& given) {
    const std::string id(field.id);
    if (!given.is_array()) return fault(id, problem("these are no rows", "a list"));
    if (given.size() < field.fewest || given.size() > field.most) {
      const std::string many = field.fewest == field.most ? std::to_string(field.most)
                                                          : "from " + std::to_string(field.fewest) +
                                                                " to " + std::to_string(field.most);
      return fault(id, problem((given.size() == 1 ? "there is " : "there are ") +
                                   std::to_string(given.size()) + " of them",
                               many + (field.most == 1 ? " is wanted" : " are wanted")));
    }
    std::vector<std::string> units(field.columns.size());
    for (std::size_t r = 0; r < given.size(); ++r)
      input_.values[id].push_back(read_row(field, given[r], id + "/" + std::to_string(r), units));
    input_.units[id] = units;
  }

  // `units`: of the rows before, by column.
  BayInput::Row read_row(const BayField& field, const Json& row, const std::string& pointer,
                         std::vector<std::string>& units) {
    BayInput::Row out(field.columns.size());
    const bool one = field.columns.size() == 1;
    const Json cells = row.is_array() ? row : one ? Json::array({row}) : Json::array();
    if (!one && !row.is_array() && !row.is_null()) {
      fault(pointer, problem("this is no row", "a list with a text for each column"));
      return out;
    }
    if (cells.size() > field.columns.size())
      fault(pointer, problem("there are " + std::to_string(cells.size()) + " in a row",
                             std::to_string(field.columns.size()) + " at most"));
    for (std::size_t c = 0; c < field.columns.size(); ++c) {
      const BayColumn& column = field.columns[c];
      const Json cell = c < cells.size() ? cells[c] : Json();
      const std::string at = one ? pointer : pointer + "/" + std::to_string(c);
      if (!cell.is_string() && !cell.is_null()) {
        fault(at, problem("this is no text", "a text with its unit"));
        continue;
      }
      const std::string text =
          cell.is_string() ? std::string(trimmed(cell.get<std::string>())) : "";
      if (!text.empty())
        out[c] = read_cell(column, text, at, &units[c]);
      else if (column.required)
        fault(at, problem(lower_first(column.label) + " is not given in row " +
                          std::to_string(input_.values[std::string(field.id)].size() + 1)));
    }
    return out;
  }

  // `unit`: of the readings before, null where it stands alone.
  std::optional<double> read_cell(const BayColumn& column, const std::string& text,
                                  const std::string& pointer, std::string* unit = nullptr) {
    const auto read = column.around ? read_place(text) : read_signed(trimmed(text), column);
    if (!read) {
      fault(pointer, read.error());
      return std::nullopt;
    }
    if (column.around) return *read;
    const bool within = *read >= column.low && *read <= column.high;
    const bool allowed = within && !(column.whole && *read != std::floor(*read));
    if (!allowed)
      fault(pointer, problem(lower_first(column.label) + " cannot be " + text,
                             range_words(column, units_, unit_in(text))));
    if (unit) same_unit(std::string(unit_in(text)), *unit, pointer);
    return allowed ? std::optional(*read) : std::nullopt;
  }

  void same_unit(const std::string& unit, std::string& before, const std::string& pointer) {
    if (before.empty()) before = unit;
    if (unit != before)
      fault(pointer, problem("one reading has the unit " + unit + ", another " + before,
                             "all readings of one gauge in one unit"));
  }

  static std::string lower_first(std::string_view label) {
    std::string out(label);
    if (out.size() > 1 && out[1] >= 'a' && out[1] <= 'z') out[0] = lower_case(out.substr(0, 1))[0];
    return out;
  }

  const BayTool& tool_;
  const Json& given_;
  Units units_;
  BayInput input_;
  Problems problems_;
};

}  // namespace

Result<BayInput, Problems> read_given(const BayTool& tool, const Json& given, Units units) {
  return GivenReader(tool, given, units).read();
}

std::string_view unit_in(std::string_view text) {
  std::size_t at = 0;
  while (at < text.size() && is_numeric(text[at])) ++at;
  return trimmed(text.substr(at));
}

Result<double> read_place(std::string_view text) {
  if (const auto hours = clock_hours(trimmed(text))) return *hours * kTurn / 12.0;
  if (text.find(':') != std::string_view::npos || text.ends_with(kClock))
    return problem(perrev::quoted(text) + " is no place on a clock", "such as 4 o'clock or 4:30");
  const auto angle = parse_quantity(text, Dimension::angle);
  if (!angle) return angle.error();
  if (*angle < 0.0 || *angle >= kTurn - 1e-9)
    return problem(perrev::quoted(text) + " is no place round one turn", "from 0 to below 360 deg");
  return *angle;
}

std::string range_words(const BayColumn& column, Units units, std::string_view unit) {
  if (column.whole)
    return "a whole number from " + show_number(column.low) + " to " + show_number(column.high);
  if (column.dimension == Dimension::frequency && unit.empty()) unit = kTurning;
  const auto told = [&](double si) {
    const auto one = parse_quantity("1 " + std::string(unit), column.dimension);
    return unit.empty() || !one
               ? show_rounded(si, column.dimension, units)
               : show_rounded(si / *one, Dimension::count, units) + " " + std::string(unit);
  };
  return "from " + told(column.low) + " to " + told(column.high);
}

}  // namespace perrev
