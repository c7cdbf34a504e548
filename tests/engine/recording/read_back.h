// A recording read whole, for tests: what came of it, or why nothing did.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/recording/recording_reader.h"
#include "engine/recording/timeline.h"

namespace perrev::recorded {

struct ReadBack {
  std::optional<Problem> refused;
  std::vector<RecordedColumn> columns;
  std::vector<RecordingFinding> findings;  // of the reader
  std::vector<Samples> blocks;

  Samples whole() const;
  const RecordingFinding* finding(const std::string& id) const;
};
// In pieces that end after `cuts` bytes; none: at once.
ReadBack read_back(const std::string& bytes, const ReadingOptions& options = {},
                   const std::vector<std::size_t>& cuts = {});

struct MendedBack {
  std::optional<Problem> refused;
  std::vector<RecordingFinding> findings;  // of the timeline
  std::vector<EvenBlock> blocks;
  double rate = 0.0;

  const RecordingFinding* finding(const std::string& id) const;
  std::size_t samples() const;
  // Pieces between gaps: begin and size.
  struct Piece {
    double begin;
    std::size_t size;
  };
  std::vector<Piece> pieces() const;
};
// `rows` at a time.
MendedBack mended_back(const Samples& samples, const TimelineOptions& options = {},
                       std::size_t rows = 4096);

Samples part_of(const Samples& samples, std::size_t from, std::size_t to);

}  // namespace perrev::recorded
