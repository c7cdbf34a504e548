#include "src/answers/bay/bay_vehicle.h"

#include "src/answers/words.h"

namespace perrev {

std::optional<VehicleFacts> vehicle_at_hand(const BayContext& context) {
  if (!context.facts) return std::nullopt;
  return vehicle_of(context.base, *context.facts, context.facts->rounds.size() - 1);
}

std::optional<double> worst_speed(const BayContext& context) {
  if (!context.facts) return std::nullopt;
  return motion_of(context.base, *context.facts, context.facts->rounds.size() - 1).speed;
}

std::optional<double> shaft_turns(const BayContext& context) {
  if (!context.facts) return std::nullopt;
  const std::size_t round = context.facts->rounds.size() - 1;
  const Rotations turning = rotations(vehicle_of(context.base, *context.facts, round),
                                      motion_of(context.base, *context.facts, round));
  const PartSpeed* shaft =
      turning.find(context.place == "front_shaft" ? "front_driveshaft" : "driveshaft");
  return shaft ? std::optional(shaft->hz.mean) : std::nullopt;
}

std::string rpm_words(double hz) { return fixed(60.0 * hz, 0) + " rpm"; }

}  // namespace perrev
