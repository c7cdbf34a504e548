#include "engine/recording/column_roles.h"

#include <algorithm>
#include <array>
#include <utility>

#include "engine/quantity/text.h"
#include "engine/recording/column_name.h"
#include "engine/recording/csv_header_columns.h"
#include "engine/recording/csv_header_lines.h"
#include "engine/recording/csv_text.h"
#include "engine/recording/plain_number.h"
#include "engine/recording/stamp.h"

namespace perrev {

namespace {

struct Epoch {
  std::string_view unit;
  double size;
};
constexpr double kEpochFrom = 1e9, kEpochTo = 4.1e9;  // s since 1970: 2001 to 2099
constexpr std::array kEpochs = {Epoch{"s", 1.0}, Epoch{"ms", 1e-3}, Epoch{"us", 1e-6},
                                Epoch{"ns", 1e-9}};

}  // namespace

ColumnRoles::ColumnRoles(const std::vector<std::string>& names,
                         const std::vector<std::string>& units, const std::vector<std::string>& row,
                         const ReadingOptions& options)
    : names_(names), units_(units), row_(row), options_(options) {
  for (const auto& [role, name] : options.columns) {
    bool known = false;
    for (std::size_t r = 0; r < kRoles; ++r) known |= name_of(static_cast<Role>(r)) == role;
    if (!known)
      refuse("there is no " + quoted(role) + " to name a column for",
             "name columns for time, x, y, z, speed or engine");
  }
  for (std::size_t r = 0; r < kRoles; ++r) choose(static_cast<Role>(r));
  refuse_shared();
  const auto has = [&](auto wanted) {
    return std::any_of(columns_.begin(), columns_.end(),
                       [&](const RecordedColumn& each) { return wanted(each.role); });
  };
  const bool has_time = has([](Role role) { return role == Role::time; });
  if (has_time && options_.rows_per_second > 0.0)
    tell("rate_by_hand", "The rows a second that were given are not used: there is a time.");
  if (!has_time && options_.rows_per_second <= 0.0)
    refuse("no column of time",
           "a column such as \"time_s\", or how many rows make a second; " + which_is_what(names_));
  if (!has([](Role role) { return role != Role::time; }))
    refuse("no column of acceleration, speed or engine speed",
           "a column such as \"az_mps2\" or \"speed_kmh\"; " + which_is_what(names_));
  for (RecordedColumn& column : columns_) settle_unit(column);
}

void ColumnRoles::choose(Role role) {
  const auto by_hand = options_.columns.find(std::string(name_of(role)));
  if (by_hand == options_.columns.end()) return choose_by_name(role);
  if (!by_hand->second.empty()) choose_by_hand(role, by_hand->second);
}

void ColumnRoles::choose_by_hand(Role role, const std::string& name) {
  const auto at = column_named(names_, name);
  if (!at)
    return refuse("no column is named " + quoted(name),
                  near_or(name, names_, which_is_what(names_)));
  const std::string& own = names_[*at];
  if (lower_case(own) == lower_case(trimmed(name)) &&
      std::count_if(names_.begin(), names_.end(), [&](const std::string& each) {
        return lower_case(each) == lower_case(own);
      }) > 1)
    tell("one_of_several", "More than one column is named " + quoted(own) + "; the first is read.");
  columns_.push_back(
      {role, own.empty() ? numbered_column(*at) : own, read_column_name(own).unit, 0.0, *at});
}

// A cell goes one way.
void ColumnRoles::refuse_shared() {
  for (std::size_t i = 0; i < columns_.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (columns_[i].column == columns_[j].column)
        refuse(quoted(columns_[i].name) + " cannot be both " +
                   std::string(name_of(columns_[j].role)) + " and " +
                   std::string(name_of(columns_[i].role)),
               which_is_what(names_));
}

void ColumnRoles::choose_by_name(Role role) {
  int best = -1;
  std::size_t at = 0, others = 0;
  for (std::size_t c = 0; c < names_.size(); ++c) {
    const bool by_hand =
        std::any_of(options_.columns.begin(), options_.columns.end(),
                    [&](const auto& each) { return column_named(names_, each.second) == c; });
    if (by_hand) continue;
    const auto guess = guess_column(read_column_name(names_[c]));
    if (!guess || guess->role != role) continue;
    if (best >= 0) ++others;
    if (guess->rank <= best) continue;
    best = guess->rank;
    at = c;
  }
  if (best < 0) return;
  columns_.push_back({role, names_[at], read_column_name(names_[at]).unit, 0.0, at});
  if (others > 0)
    tell("one_of_several", "More than one column could be the " +
                               std::string(is_axis(role) ? "acceleration along " : "") +
                               std::string(name_of(role)) + "; " + quoted(names_[at]) +
                               " is read.");
}

void ColumnRoles::settle_unit(RecordedColumn& column) {
  const Measured what = measured_by(column.role);
  const std::string& given = options_.unit_of(what);
  const std::string below =
      column.column < units_.size() ? std::string(bare_unit(units_[column.column])) : "";
  if (column.unit.empty() || !unit_size(what, column.unit)) column.unit = below;
  if (!given.empty()) {
    if (!unit_size(what, given))
      return refuse(quoted(given) + " is no unit of " + std::string(name_of(what)),
                    std::string(usual_units(what)));
    if (const auto named = unit_size(what, column.unit); named && *named != *unit_size(what, given))
      tell("unit_by_hand", "The unit " + quoted(given) + " is taken as it was given, not " +
                               quoted(column.unit) + " as the file has it.");
    column.unit = given;
  }
  if (const auto size = unit_size(what, column.unit)) {
    column.size = *size;
    return;
  }
  if (what == Measured::time) return settle_time(column);
  if (what != Measured::acceleration)
    refuse("nothing says in which unit " + quoted(column.name) + " is",
           "name it in the column's name or give it: " + std::string(usual_units(what)));
  column.unit.clear();
}

void ColumnRoles::settle_time(RecordedColumn& column) {
  column.unit.clear();
  const std::string first = column.column < row_.size() ? row_[column.column] : "";
  if (read_stamp(first) && !is_number(first, ',')) {
    stamps_ = true;
    column.size = 1.0;
    return;
  }
  double value = 0.0;
  read_number((first + '\n').c_str(), ',', value);
  for (const Epoch& each : kEpochs) {
    if (value * each.size < kEpochFrom || value * each.size > kEpochTo) continue;
    column.unit = each.unit;
    column.size = each.size;
    tell("epoch", "Times are taken as " + column.unit + " since 1970.");
    return;
  }
  if (first.empty())
    refuse("the first row has no " + quoted(column.name) + " that could tell its unit",
           "give the unit of time: " + std::string(usual_units(Measured::time)));
  else if (!is_number(first, ','))
    refuse("times such as " + quoted(first) + " in " + quoted(column.name) + " are not read",
           "2026-05-04T09:12:00.123 or 09:12:00.123, or seconds");
  else
    refuse("nothing says in which unit " + quoted(column.name) + " is",
           "name it in the column's name or give it: " + std::string(usual_units(Measured::time)));
}

void ColumnRoles::refuse(std::string what, std::string right) {
  if (!problem_) problem_ = perrev::problem(std::move(what), std::move(right));
}

void ColumnRoles::tell(std::string id, std::string what) {
  for (const RecordingFinding& each : told_)
    if (each.what == what) return;  // of one axis as of the others
  told_.push_back({RecordingFinding::Kind::told, std::move(id), std::move(what), 0, 1});
}

}  // namespace perrev
