// Speeds of the parts from the layout, and what contradicts itself.
#include "engine/vehicle/rotation.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "engine/quantity/text.h"
#include "engine/vehicle/part_graph.h"
#include "engine/vehicle/vehicle_layout.h"

namespace perrev {

namespace {

constexpr double kConflictSds = 3.0;
constexpr double kConflictFloor = 0.02;

Estimate estimate_of(double value, double relative_sd) { return {value, value * relative_sd}; }

// The engine as read against the engine as the road drives it.
std::optional<Conflict> engine_conflict(const VehicleLayout& layout) {
  std::vector<PartReading> rest;
  std::optional<Estimate> read;
  for (const PartReading& reading : layout.readings) {
    if (reading.part == kEngine) {
      read = estimate_of(reading.value, reading.sd);
    } else {
      rest.push_back(reading);
    }
  }
  if (!read) return std::nullopt;
  const auto beliefs = spread(layout.links, rest);
  const auto found = beliefs.find(kEngine);
  if (found == beliefs.end()) return std::nullopt;
  const Estimate driven = estimate_of(found->second.value, found->second.sd);
  const double apart = std::fabs(read->mean - driven.mean);
  if (apart <= kConflictSds * root_of_squares(read->sd, driven.sd) ||
      apart <= kConflictFloor * std::max(read->mean, driven.mean)) {
    return std::nullopt;
  }
  return Conflict{kEngine, *read, driven,
                  "the engine was read at " + rpm_text(read->mean) +
                      ", but road speed and ratios make it " + rpm_text(driven.mean) +
                      ": one of speed, rpm, gear or ratio is not true"};
}

void cut_engine_from_road(std::vector<PartLink>& links) {
  const auto joins = [](const PartLink& link) {
    return link.fast == kEngine || link.fast == kConverter;
  };
  links.erase(std::remove_if(links.begin(), links.end(), joins), links.end());
}

std::string arrival_text(const Arrival& arrival, const std::map<std::string, PartBelief>& beliefs) {
  if (arrival.neighbour.empty()) return arrival.text;
  if (arrival.neighbour != kRoad) return spaced(arrival.neighbour) + arrival.text;
  const PartBelief& road = beliefs.at(kRoad);
  std::string out = "road speed " + speed_text(road.value);
  for (const Arrival& source : road.arrivals) {
    if (source.neighbour.empty()) out += " " + source.text;
  }
  return out + arrival.text;
}

PartSpeed part_speed(const std::string& part, const std::map<std::string, PartBelief>& beliefs) {
  const PartBelief& belief = beliefs.at(part);
  PartSpeed out{part, estimate_of(belief.value, belief.sd), {}};
  for (const Arrival& arrival : belief.arrivals) {
    out.from += (out.from.empty() ? "" : "; and ") + arrival_text(arrival, beliefs);
  }
  return out;
}

}  // namespace

const PartSpeed* Rotations::find(const std::string& part) const {
  for (const PartSpeed& each : parts) {
    if (each.part == part) return &each;
  }
  return nullptr;
}

Rotations rotations(const VehicleFacts& vehicle, const Motion& motion) {
  Rotations out;
  const auto engine_hz = positive(motion.engine_hz);
  if (!engine_hz && !positive(motion.speed)) return out;  // nothing was read
  VehicleLayout layout = vehicle_layout(vehicle, motion);
  if (vehicle.powertrain == Powertrain::electric && engine_hz) {
    const Estimate read{*engine_hz, std::fabs(motion.engine_reading_sd)};
    out.conflicts.push_back(
        {kEngine,
         read,
         {},
         "an engine speed was read, but the vehicle is electric and has no engine"});
  }
  if (auto conflict = engine_conflict(layout)) {
    out.conflicts.push_back(*std::move(conflict));
    cut_engine_from_road(layout.links);
  }
  const auto beliefs = spread(layout.links, layout.readings);
  for (const auto& [part, belief] : beliefs) {
    if (part != kRoad) out.parts.push_back(part_speed(part, beliefs));
  }
  return out;
}

}  // namespace perrev
