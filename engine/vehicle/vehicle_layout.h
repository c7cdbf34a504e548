// Which parts a vehicle has, how they are geared together, and what is read of them. Internal to
// this folder.
//
// The layout follows from the facts that are known; an unknown ratio is a missing link, never a
// guess. Speeds are in Hz, the road's in m/s.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/vehicle/part_graph.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

inline constexpr const char* kRoad =
    "road";  // no part: a link from it to wheels is turns per metre
inline constexpr const char* kEngine = "engine";
inline constexpr const char* kConverter = "converter";

struct VehicleLayout {
  std::vector<PartLink> links;
  std::vector<PartReading> readings;
};

VehicleLayout vehicle_layout(const VehicleFacts& vehicle, const Motion& motion);

// Only what is a positive number can be a ratio or a speed; anything else counts as unknown.
std::optional<double> positive(const std::optional<double>& value);

// Of independent uncertainties.
double root_of_squares(double a, double b, double c = 0.0, double d = 0.0);

// "65 mph (104.6 km/h)", "1650 rpm"
std::string speed_text(double metres_per_second);
std::string rpm_text(double hz);

}  // namespace perrev
