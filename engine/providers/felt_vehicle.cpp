#include <algorithm>

#include "engine/knowledge/computed.h"
#include "engine/providers/felt_tables.h"
#include "engine/providers/usual_turns.h"

namespace perrev {

namespace {

constexpr double kRatioSd = 0.001;
constexpr double kAtChange = 0.92;  // what came with changed wheels sits there; from memory

Estimate times(const Estimate& a, const Rate& ratio) {
  const Rate both = times(Rate{a.mean, a.sd / a.mean}, ratio);
  return {both.value, both.value * both.spread};
}

}  // namespace

FeltBook::FeltBook(const RuleBase& base)
    : vehicle(base), wheels_changed(base.fact_index("which_wheels_changed")) {
  if (base.physics.empty()) return;
  for (const std::string_view id : kPhysicsFacts)
    if (const int fact = base.fact_index(id); fact >= 0) facts.push_back(fact);
  std::sort(facts.begin(), facts.end());
}

FeltVehicle felt_vehicle(const RuleBase& base, const CaseFacts& facts, std::size_t round) {
  return felt_vehicle(base, FeltBook(base), facts.rounds[round]);
}

FeltVehicle felt_vehicle(const RuleBase& base, const FeltBook& book, const RoundFacts& round) {
  const VehicleFacts vehicle = vehicle_of(base, book.vehicle, round);
  FeltVehicle out;
  const std::string kind = answer_known(base, round, book.vehicle.vehicle_kind);
  const UsualTurns usual = usual_turns(base.physics, kind);
  out.body = body_index(base.physics, kind);
  out.driven = vehicle.driven_axle;
  const PhysicsBody& body = base.physics.bodies[static_cast<std::size_t>(out.body)];

  const auto turns = [&](const std::optional<Tire>& tire, const TireState& state) -> Estimate {
    const Estimate around =
        tire ? rolling_circumference(*tire, state)
             : Estimate{body.circumference, body.circumference * body.circumference_sd};
    return {1.0 / around.mean, around.sd / (around.mean * around.mean)};
  };
  const Estimate front = turns(vehicle.front_tire, vehicle.front_state);
  const Estimate rear = turns(vehicle.rear_tire, vehicle.rear_state);
  const Rate axle = vehicle.axle_ratio ? Rate{*vehicle.axle_ratio, kRatioSd} : usual.shaft;
  const Rate motor =
      vehicle.reduction_ratio ? Rate{*vehicle.reduction_ratio, kRatioSd} : usual.motor;
  out.turns = {front, rear, times(rear, axle), times(front, axle), times(front, motor)};
  const std::string changed = answer_known(base, round, book.wheels_changed);
  if (changed == "front") out.front_changed = kAtChange;
  if (changed == "rear") out.front_changed = 1.0 - kAtChange;
  return out;
}

}  // namespace perrev
