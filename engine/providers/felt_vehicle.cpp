#include <cmath>

#include "engine/casefile/vehicle_of.h"
#include "engine/providers/felt_tables.h"

namespace perrev {

namespace {

constexpr double kMotorRatioSd = 0.15;  // from memory
constexpr double kRatioSd = 0.001;
constexpr double kAtChange = 0.92;  // what came with changed wheels sits there; from memory

bool same(const Estimate& a, const Estimate& b) { return a.mean == b.mean && a.sd == b.sd; }

// Both `sd` absolute.
Estimate times(const Estimate& a, double factor, double relative_sd) {
  return {a.mean * factor, a.mean * factor * std::hypot(a.sd / a.mean, relative_sd)};
}

std::string word_of(const RuleBase& base, const RoundFacts& round, std::string_view id) {
  const int fact = base.fact_index(id);
  const Reading* found = fact < 0 ? nullptr : round.find(fact);
  if (!found || found->unsure || found->answers.empty() || found->answers[0] < 0) return {};
  return base.facts[static_cast<std::size_t>(fact)]
      .answers[static_cast<std::size_t>(found->answers[0])]
      .id;
}

}  // namespace

bool FeltVehicle::operator==(const FeltVehicle& o) const {
  return body == o.body && same(front_wheels, o.front_wheels) && same(rear_wheels, o.rear_wheels) &&
         same(driveshaft, o.driveshaft) && same(front_driveshaft, o.front_driveshaft) &&
         same(motor_rotor, o.motor_rotor) && front_changed == o.front_changed;
}

FeltVehicle felt_vehicle(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  const RoundFacts& known = facts.rounds[round];
  const VehicleFacts vehicle = vehicle_of(base, facts, round);
  FeltVehicle out;
  const std::string kind = word_of(base, known, "vehicle_kind");
  for (std::size_t b = 0; b < base.physics.bodies.size(); ++b)
    if (base.physics.bodies[b].id == kind) out.body = static_cast<int>(b);
  const PhysicsBody& body = base.physics.bodies[static_cast<std::size_t>(out.body)];

  const auto turns = [&](const std::optional<Tire>& tire, const TireState& state) -> Estimate {
    const Estimate around =
        tire ? rolling_circumference(*tire, state)
             : Estimate{body.circumference, body.circumference * body.circumference_sd};
    return {1.0 / around.mean, around.sd / (around.mean * around.mean)};
  };
  out.front_wheels = turns(vehicle.front_tire, vehicle.front_state);
  out.rear_wheels = turns(vehicle.rear_tire, vehicle.rear_state);
  const double axle = vehicle.axle_ratio.value_or(body.axle_ratio);
  const double axle_sd = vehicle.axle_ratio ? kRatioSd : body.axle_ratio_sd;
  out.driveshaft = times(out.rear_wheels, axle, axle_sd);
  out.front_driveshaft = times(out.front_wheels, axle, axle_sd);
  out.motor_rotor = times(out.front_wheels, vehicle.reduction_ratio.value_or(kMotorRatio),
                          vehicle.reduction_ratio ? kRatioSd : kMotorRatioSd);
  const std::string changed = word_of(base, known, "which_wheels_changed");
  if (changed == "front") out.front_changed = kAtChange;
  if (changed == "rear") out.front_changed = 1.0 - kAtChange;
  return out;
}

}  // namespace perrev
