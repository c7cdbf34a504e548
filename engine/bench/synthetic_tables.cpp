#include "engine/bench/synthetic_tables.h"

namespace perrev {

const std::vector<SyntheticKind>& synthetic_kinds() {
  static const std::vector<SyntheticKind> kinds = {
      {"car", {"195/65R15", "205/55R16", "225/45R17"}, {2.93, 3.42, 4.06}, 9.1},
      {"suv", {"225/65R17", "235/60R18", "255/50R19"}, {3.07, 3.55, 4.1}, 9.6},
      {"van", {"205/65R16C", "215/65R16C", "235/65R16C"}, {3.54, 3.92, 4.27}, 10.2},
      {"pickup", {"245/75R16", "265/70R17", "275/65R18"}, {3.31, 3.73, 4.1}, 9.8}};
  return kinds;
}

Behaviour behaviour_of(const PhysicsFault& fault, std::string_view source) {
  if (fault.when == ShakesWhile::braking) return Behaviour::braking;
  if (fault.when == ShakesWhile::pulling) return Behaviour::pulling;
  if (fault.kind == FaultKind::joint_angle) return Behaviour::joint;
  if (source == "motor_rotor") return Behaviour::motor;
  return source == "tire" ? Behaviour::wheel : Behaviour::shaft;
}

const std::vector<SyntheticFind>& synthetic_finds() {
  static const std::vector<std::string_view> change = {"no_change", "only", "worse", "less"};
  static const std::vector<double> run_up = {0.93, 0.02, 0.05};
  // By wheel, braking, pulling, shaft, joint, motor.
  static const std::vector<SyntheticFind> finds = {
      {"when_braking",
       Asker::write_up,
       0.85,
       false,
       false,
       change,
       {{{0.84, 0.01, 0.10, 0.05},
         {0.02, 0.80, 0.17, 0.01},
         {0.70, 0.01, 0.02, 0.27},
         {0.88, 0.01, 0.03, 0.08},
         {0.78, 0.01, 0.05, 0.16},
         {0.70, 0.02, 0.08, 0.20}}}},
      {"when_accelerating",
       Asker::write_up,
       0.85,
       false,
       false,
       change,
       {{{0.85, 0.01, 0.10, 0.04},
         {0.93, 0.01, 0.01, 0.05},
         {0.08, 0.50, 0.41, 0.01},
         {0.72, 0.02, 0.22, 0.04},
         {0.35, 0.10, 0.52, 0.03},
         {0.45, 0.06, 0.44, 0.05}}}},
      {"when_coasting",
       Asker::write_up,
       0.75,
       false,
       false,
       change,
       {{{0.87, 0.01, 0.05, 0.07},
         {0.90, 0.02, 0.04, 0.04},
         {0.15, 0.01, 0.02, 0.82},
         {0.72, 0.02, 0.10, 0.16},
         {0.38, 0.05, 0.12, 0.45},
         {0.45, 0.04, 0.11, 0.40}}}},
      {"pulling_away",
       Asker::write_up,
       0.6,
       false,
       false,
       {"none", "light", "hard_only", "one_thump"},
       {{{0.95, 0.02, 0.02, 0.01},
         {0.96, 0.015, 0.015, 0.01},
         {0.50, 0.18, 0.29, 0.03},
         {0.90, 0.04, 0.04, 0.02},
         {0.58, 0.20, 0.15, 0.07},
         {0.93, 0.03, 0.03, 0.01}}}},
      {"neutral_coast",
       Asker::road,
       0.6,
       false,
       false,
       {"stays", "weaker", "goes"},
       {{{0.91, 0.06, 0.03},
         {0.85, 0.08, 0.07},
         {0.06, 0.24, 0.70},
         {0.80, 0.15, 0.05},
         {0.45, 0.40, 0.15},
         {0.62, 0.25, 0.13}}}},
      {"lower_gear_same_speed",
       Asker::road,
       0.45,
       false,
       true,
       {"same", "changes"},
       {{{0.95, 0.05}, {0.93, 0.07}, {0.72, 0.28}, {0.92, 0.08}, {0.78, 0.22}, {0.80, 0.20}}}},
      {"hard_acceleration",
       Asker::road,
       0.45,
       false,
       false,
       {"nothing", "shudder", "sways", "thump", "jerks"},
       {{{0.93, 0.03, 0.02, 0.01, 0.01},
         {0.94, 0.02, 0.015, 0.01, 0.015},
         {0.20, 0.55, 0.19, 0.02, 0.04},
         {0.80, 0.14, 0.02, 0.02, 0.02},
         {0.48, 0.38, 0.04, 0.07, 0.03},
         {0.85, 0.08, 0.02, 0.02, 0.03}}}},
      {"engine_run_up",
       Asker::road,
       0.35,
       true,
       false,
       {"nothing", "same_rpm", "other_rpm"},
       {{run_up, run_up, run_up, run_up, run_up, run_up}}}};
  return finds;
}

const std::vector<std::string_view>& synthetic_paces() {
  static const std::vector<std::string_view> paces = {"slow_as_wheel", "two_three_times_wheel",
                                                      "as_shaft", "as_engine", "sound_only"};
  return paces;
}

const std::vector<double>& pace_shares(std::string_view source, double order) {
  static const std::vector<double> once = {0.72, 0.16, 0.06, 0.03, 0.03},
                                   twice = {0.22, 0.52, 0.18, 0.04, 0.04},
                                   many = {0.03, 0.12, 0.35, 0.05, 0.45},
                                   shaft = {0.05, 0.15, 0.62, 0.10, 0.08},
                                   motor = {0.01, 0.02, 0.30, 0.12, 0.55};
  if (source == "motor_rotor") return motor;
  if (source != "tire") return shaft;
  return order < 1.5 ? once : order < 4.5 ? twice : many;
}

}  // namespace perrev
