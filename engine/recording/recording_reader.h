// Bytes of a recording to blocks of rows in SI, whatever it was written as.
//
// A WAV file is known by its first bytes, all else is read as comma separated text
// (csv_header.h: by the names of its columns). Bytes may be cut anywhere, the blocks are the same;
// none has more than kBlockRows rows. A problem that take or finish return refuses the recording,
// whatever blocks went before it: its place has the line, the caller knows the file.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/recorded_column.h"
#include "engine/recording/samples.h"
#include "engine/result.h"

namespace perrev {

class RecordingReader {
 public:
  RecordingReader(const ReadingOptions& options, SampleSink sink);
  ~RecordingReader();

  std::optional<Problem> take(std::string_view bytes);
  std::optional<Problem> finish();

  // What is read, by role; empty until the first rows have come.
  const std::vector<RecordedColumn>& columns() const;
  const std::vector<RecordingFinding>& findings() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace perrev
