// What a person says of a recording beside its bytes, from words to values.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "src/answers/recording/recording_run.h"

namespace perrev {

// As typed; empty: not said. `by`: gps or speedometer.
struct RecordingWords {
  std::string time_unit, acceleration_unit, speed_unit, engine_unit;
  std::map<std::string, std::string> columns;  // role to the header's name
  std::vector<std::string> full_scale;         // of WAV channels: "2 g"
  std::vector<int> channels;                   // ahead, left, up; from 1
  std::string rows_per_second, speed, rpm, offset, by;
};

// Each problem's pointer is "/" and the word that is wrong.
Result<RecordingTerms, Problems> terms_of(const RecordingWords& words);

}  // namespace perrev
