#include "engine/recording/recorded_column.h"

namespace perrev {

Measured measured_by(Role role) {
  switch (role) {
    case Role::time:
      return Measured::time;
    case Role::speed:
      return Measured::speed;
    case Role::engine:
      return Measured::turning;
    default:
      return Measured::acceleration;
  }
}

std::string_view name_of(Role role) {
  constexpr std::array<std::string_view, kRoles> kNames = {"time", "x",     "y",
                                                           "z",    "speed", "engine"};
  return kNames[static_cast<std::size_t>(role)];
}

const std::string& ReadingOptions::unit_of(Measured what) const {
  switch (what) {
    case Measured::time:
      return time_unit;
    case Measured::acceleration:
      return acceleration_unit;
    case Measured::speed:
      return speed_unit;
    default:
      return engine_unit;
  }
}

}  // namespace perrev
