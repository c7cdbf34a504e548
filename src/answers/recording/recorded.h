// A recording once its bytes are through the engine, beside the vehicle it was made on.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/providers/recorded_lines.h"
#include "engine/recording/recorded_column.h"

namespace perrev {

struct Recorded {
  std::vector<RecordedColumn> columns;
  std::vector<RecordingFinding> findings;
  Analysis analysis;
  SpeedSource by = SpeedSource::unknown;
};

// What it is held against.
struct RecordedVehicle {
  VehicleFacts facts;
  std::string kind;  // answer of vehicle_kind; empty: not known
};

inline RecordedLines lines_of(const RuleBase& base, const Recorded& recorded,
                              const RecordedVehicle& vehicle) {
  return recorded_lines(base, vehicle.facts, usual_turns(base.physics, vehicle.kind),
                        recorded.analysis, recorded.by);
}

}  // namespace perrev
