#include "engine/planning/road_style.h"

#include <array>

namespace perrev {

namespace {

struct Known {
  const char* fact;
  RoadKind kind;
};

// In the order of the drive.
constexpr std::array kDrive = {
    Known{"lumpy_at_walking_pace", RoadKind::walking_pace},
    Known{"tight_circles", RoadKind::walking_pace},
    Known{"pulling_away", RoadKind::own},
    Known{"over_bumps", RoadKind::any},
    Known{"duplicated", RoadKind::hold},
    Known{"complaint_now", RoadKind::hold},
    Known{"speed_shape", RoadKind::sweep},
    Known{"worst_speed", RoadKind::sweep},
    Known{"two_shakes", RoadKind::sweep},
    Known{"pulls_to_side", RoadKind::any},
    Known{"lamps", RoadKind::any},
    Known{"felt_at", RoadKind::hold},
    Known{"measured_frequency", RoadKind::record},
    Known{"rpm_at_worst", RoadKind::hold},
    Known{"beat_period", RoadKind::hold},
    Known{"heard", RoadKind::hold},
    Known{"in_turns", RoadKind::any},
    Known{"cruise_control", RoadKind::hold},
    Known{"dash_against_satellite", RoadKind::hold},
    Known{"which_roads", RoadKind::hold},
    Known{"second_car_same_road", RoadKind::hold},
    Known{"engine_running", RoadKind::hold},
    Known{"ride_mode", RoadKind::hold},
    Known{"load_matters", RoadKind::hold},
    Known{"with_warmth", RoadKind::hold},
    Known{"four_wheel_drive_effect", RoadKind::any},
    Known{"second_motor_joins", RoadKind::any},
    Known{"recovery_effect", RoadKind::hold},
    Known{"steady_light_pedal", RoadKind::own},
    Known{"brush_brake", RoadKind::own},
    Known{"converter_slip_seen", RoadKind::own},
    Known{"lock_command", RoadKind::own},
    Known{"cylinder_cut_effect", RoadKind::hold},
    Known{"misfire_counted", RoadKind::any},
    Known{"when_coasting", RoadKind::hold},
    Known{"clutch_pedal_effect", RoadKind::hold},
    Known{"neutral_coast", RoadKind::coast},
    Known{"lower_gear_same_speed", RoadKind::lower_gear},
    Known{"swerve", RoadKind::own},
    Known{"hard_acceleration", RoadKind::own},
    Known{"light_brake", RoadKind::own},
    Known{"braking_where", RoadKind::any},
    Known{"firm_brake", RoadKind::own},
    Known{"road_stopped", RoadKind::any},
};
// Where a manoeuvre that is not known comes: with those that change something.
constexpr const char* kUnknownAfter = "load_matters";

int stage_of(std::size_t place) { return 10 * (static_cast<int>(place) + 1); }

}  // namespace

RoadStyle road_style(const RuleBase& base, int check) {
  const Check& of = base.checks[static_cast<std::size_t>(check)];
  if (of.moves == Moves::no) return {0, RoadKind::standing};
  RoadStyle out, first;
  for (std::size_t i = 0; i < kDrive.size(); ++i)
    if (std::string_view(kDrive[i].fact) == kUnknownAfter) out.stage = stage_of(i) + 5;
  for (const int fact : of.learns)
    for (std::size_t i = 0; i < kDrive.size(); ++i) {
      if (base.facts[static_cast<std::size_t>(fact)].id != kDrive[i].fact) continue;
      if (first.stage == 0 || kDrive[i].kind == RoadKind::record)
        first = {stage_of(i), kDrive[i].kind};
    }
  return first.stage == 0 ? out : first;
}

}  // namespace perrev
