// What the case at hand says of the vehicle and of the worst moment, for the tools of the bay.
#pragma once

#include <optional>
#include <string>

#include "engine/casefile/vehicle_of.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// Nothing without a case.
std::optional<VehicleFacts> vehicle_at_hand(const BayContext& context);
// Road speed at which it is worst, m/s.
std::optional<double> worst_speed(const BayContext& context);
// Turns of the driveshaft a second at that speed; of the front one where the place says so.
std::optional<double> shaft_turns(const BayContext& context);
// "2621 rpm".
std::string rpm_words(double hz);

}  // namespace perrev
