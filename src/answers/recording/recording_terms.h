// What a person says of a recording beside its bytes, from words to values.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "src/answers/recording/recording_run.h"

namespace perrev {

// Of one file, as typed; empty: not said.
struct ReadingWords {
  std::string time_unit, acceleration_unit, speed_unit, engine_unit;
  std::map<std::string, std::string> columns;  // role to the header's name
  std::vector<std::string> full_scale;         // of WAV channels: "2 g"
  std::vector<int> channels;                   // ahead, left, up; from 1
  std::string rows_per_second;
};

// `by`: gps or speedometer.
struct RecordingWords {
  ReadingWords reading, speed_file;  // of the recording, of a file of speeds beside it
  std::string speed, rpm, offset, by;
};

// Each problem's pointer is "/" and the word that is wrong, after "speed_file_" where it is that
// file's.
Result<RecordingTerms, Problems> terms_of(const RecordingWords& words);

}  // namespace perrev
