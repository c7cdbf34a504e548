// A recording once its bytes are through the engine, beside the vehicle it was made on.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/providers/recorded_lines.h"
#include "engine/recording/csv_header_columns.h"

namespace perrev {

struct Recorded {
  std::vector<RecordedColumn> columns, speed_columns;        // speed_: of a file of speeds
  std::vector<FileColumn> file_columns, speed_file_columns;  // all there are, read or not
  std::vector<RecordingFinding> findings;
  Analysis analysis;
  SpeedSource by = SpeedSource::unknown;
};

// What it is held against.
struct RecordedVehicle {
  VehicleFacts facts;
  std::string kind;  // answer of vehicle_kind; empty: not known
};

// What stands in for what is not known of it: by its kind; over all kinds where that is not known
// either.
UsualTurns usual_of(const PhysicsBook& book, const std::string& kind);

RecordedLines lines_of(const RuleBase& base, const Recorded& recorded,
                       const RecordedVehicle& vehicle);

}  // namespace perrev
