// What the name of a column says: its words, its unit, and for which role it may stand.
//
// Names are read as words whatever the logger: "ax_mps2", "Acceleration X (m/s^2)",
// "linearAccelY[g]", "GPS Speed (km/h)", "engine_rpm". What could be meant but is not (gyroscopes,
// gravity, accuracy, limits) is known by its words and left alone.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/recorded_column.h"

namespace perrev {

struct ColumnName {
  std::vector<std::string> words;  // lower case, without those of the unit
  std::string unit;                // as written; empty where the name has none
};
ColumnName read_column_name(std::string_view name);

struct ColumnGuess {
  Role role = Role::time;
  int rank = 0;  // of columns that could stand for the role the highest is taken
};
std::optional<ColumnGuess> guess_column(const ColumnName& name);

}  // namespace perrev
