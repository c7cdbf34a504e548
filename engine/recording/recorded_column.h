// What the columns of a recording hold, and what a person may have to say about them.
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/recording_units.h"
#include "engine/recording/samples.h"

namespace perrev {

enum class Role { time, x, y, z, speed, engine };
inline constexpr std::size_t kRoles = 6;

Measured measured_by(Role role);
// "time", "x", "y", "z", "speed", "engine": how ReadingOptions::columns and messages name them.
std::string_view name_of(Role role);
inline bool is_axis(Role role) { return measured_by(role) == Measured::acceleration; }

// A column that is read.
struct RecordedColumn {
  Role role = Role::time;
  std::string name;        // as the file has it; of a WAV file "channel 2"
  std::string unit;        // as read; empty: not known yet, or moments
  double size = 0.0;       // of the unit in SI; 0: not known yet
  std::size_t column = 0;  // from 0
};

// What the file may not say. Empty and zero: as the file has it.
struct ReadingOptions {
  std::string time_unit, acceleration_unit, speed_unit, engine_unit;
  // Of roles by name, the header's name of the column; "" leaves the role out.
  std::map<std::string, std::string> columns;
  double rows_per_second = 0.0;  // Hz, for text that has no column of time
  // WAV: m/s2 at full scale (1.0), one for all channels or one for each; and the channels, from 1,
  // that are ahead, left and up; 0: there is none.
  std::vector<double> full_scale;
  std::array<int, kAxes> channels{0, 0, 0};

  const std::string& unit_of(Measured what) const;
};

}  // namespace perrev
