// What a fault of some size feels like in a vehicle over speed, as `perrev feel` tells it.
//
// JSON, metric whatever --units says: vehicle_kind, tire or null, circumference_mm, cause or null,
// kind, size with size_unit, source, order, turns_per_km (of the part), front_probability; curve
// from 20 to 140 km/h: speed_km_h, frequency_hz, pushes (amplitudes: vertical_n, fore_aft_n,
// steer_nm, lateral_n, shaft_n, axial_n, torque_nm, pressure_n), places (by name:
// acceleration_m_s2, weighted_m_s2, just_felt_m_s2, all r.m.s.; level_db, null where nothing
// arrives; probability), probability (at some place); at_speed: the same at --speed, or null; worst
// (speed_km_h, place, probability, strength or null), null where nothing arrives; half_from_km_h
// and half_to_km_h, between which more than half feel it, null where none or open; sizes
// (one_in_six, half, five_in_six: how large it is when so many feel it at the worst speed, in
// size_unit, null where no size does); sentences, cautions, notes.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "engine/physics/felt_curve.h"
#include "src/answers/feel_fault.h"

namespace perrev {

// m/s.
inline constexpr double kFeelFrom = 20.0 / 3.6, kFeelTo = 140.0 / 3.6;

struct FeelQuestion {
  VehicleFacts vehicle;
  std::string vehicle_kind;  // empty: not known
  Motion motion;             // engine speed at a road speed, where it was read
  FeelFault fault;
  std::optional<double> speed;  // m/s
};

struct FeelSizes {
  std::optional<double> few, half, most;  // felt by one in six, by half, by five in six; SI
};

struct FeelAnswer {
  std::string vehicle_kind;
  double circumference = 0.0;    // m, of the wheels
  double turns_per_metre = 0.0;  // of the part
  std::vector<FeltPoint> curve;  // every km/h from kFeelFrom to kFeelTo
  std::vector<FeltPoint> rows;   // at speeds for people: every 5 mph or 10 km/h
  std::optional<FeltPoint> at_speed;
  // Where its strongest place stands highest above what is just felt; none: it arrives nowhere.
  std::optional<FeltPoint> worst;
  FeltPlace worst_place = FeltPlace::seat;
  std::string strength;  // as half of the people find it at the worst speed: slight,
  // clear, strong, alarming; empty where they do not feel it
  std::optional<double> half_from, half_to;  // m/s; half_to is none where it is felt to the end
  FeelSizes sizes;
  std::vector<std::string> notes, cautions;
};

// At the axles of the fault in proportion to how likely it sits there: probabilities are means,
// accelerations r.m.s. means.
Result<FeelAnswer> feel_answer(const RuleBase& base, const FeelQuestion& asked, Units units);

// What the vehicle does when a person reads `motion`'s speed, m/s: a speedometer reads high. None
// where no speed is read.
std::optional<double> true_speed(const PhysicsBook& book, const FeelQuestion& asked,
                                 const Motion& motion);

nlohmann::ordered_json to_json(const FeelQuestion& asked, const FeelAnswer& answer, Units units);

}  // namespace perrev
