// Recordings from files, with the options that say what the files do not.
#pragma once

#include <string>
#include <vector>

#include "src/answers/recording/recording_terms.h"
#include "src/commands/common.h"

namespace perrev {

struct RecordingOptions {
  std::string path, speed_path;
  RecordingWords words;
  std::vector<std::string> columns, speed_file_columns;  // "x=accel lateral"
};

// Whether the file begins as JSON does, which no recording does.
bool is_json(const std::string& path);

void add_recording_options(CLI::App& command, RecordingOptions& options);

// Streamed, with a progress bar.
Result<Recorded, Problems> read_recording(const RecordingOptions& options,
                                          const WheelTerms& wheel = {});

// Problems of read_recording: those of an option by its name, others by file and line.
Exit tell_recording(const Problems& problems);

}  // namespace perrev
