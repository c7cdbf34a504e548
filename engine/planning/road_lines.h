// The order lines that suspects shake on, and where they lie at the speeds and in the gears that
// can be driven.
//
// A line is a rotating source at an order; suspects that shake on the same line cannot be told
// apart by frequency. How far two lines lie apart, at one speed in one gear, is
//     |f1 - f2| / sqrt(sd1^2 + sd2^2 + resolution^2)
// with the lines' own uncertainty (tires, speed, ratios: vehicle/rotation.h) and what a reading
// resolves (providers/orders.h). Frequencies in Hz, speeds in m/s as read.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/planning/road_speeds.h"

namespace perrev {

// How much faster the engine turns one gear lower: from memory. The ratio of that gear is not
// known, so its lines are as unsure as that.
inline constexpr double kGearStepLow = 1.2, kGearStepHigh = 1.5;
// Above it no lower gear is proposed: common practice; the maker's limit wins.
inline constexpr double kMostEngineHz = 4000.0 / 60.0;

struct SuspectLine {
  std::string source;         // word of the rule base
  double low_order = 0.0;     // 0 where it takes the number of cylinders and that is not known
  double high_order = 0.0;    // the same for one order
  double per_cylinder = 0.0;  // of a firing order: order / cylinders; else 0
  std::string about;          // "driveshaft order 2", "tire orders 5 to 20"
  std::vector<std::size_t> suspects;  // who shakes on it, ascending
  std::vector<double> shares;         // of each one's readings, 0 to 1
};

// Of the causes among `suspects` (RuleBase::nothing_left() has none), slow parts first.
std::vector<SuspectLine> suspect_lines(const RuleBase& base, const VehicleFacts& vehicle,
                                       const std::vector<int>& suspects);

enum class RoadGear { as_felt, one_lower };

struct RecordingSetting {
  double speed = 0.0;
  RoadGear gear = RoadGear::as_felt;
  std::optional<Estimate> engine;  // Hz
  // By line: where it lies, once for each part and order; empty where it cannot be computed.
  std::vector<std::vector<Estimate>> lines;
};

// The engine turns at a fixed ratio to the road, in the gear driven.
bool geared(const VehicleFacts& vehicle);

// Every speed of `speeds.recording` in the gear it was felt in; and one gear lower where there is
// one, the engine's speed can be computed and stays below kMostEngineHz. `felt` is where it is
// worst (vehicle_of.h).
std::vector<RecordingSetting> recording_settings(const VehicleFacts& vehicle, const Motion& felt,
                                                 const std::vector<SuspectLine>& lines,
                                                 const RoadSpeeds& speeds);

struct LinesApart {
  double hz = 0.0;
  double separation = 0.0;  // as above
};
// Of the two parts or orders that lie nearest; 0 where one of the lines cannot be computed.
LinesApart lines_apart(const std::vector<Estimate>& one, const std::vector<Estimate>& other);

}  // namespace perrev
