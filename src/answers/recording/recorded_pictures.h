// The pictures of a recording, with the lines of the vehicle named in them.
#pragma once

#include <string>

#include "src/answers/recording/recorded.h"
#include "src/answers/recording/recording_pictures.h"

namespace perrev {

// SVG; empty where the recording has nothing to draw.
struct RecordedPictures {
  std::string spectrum;  // against the road where a speed is known, else against time
  std::string map;       // speed against frequency
  std::string tracks;    // each vibration over speed
};

RecordedPictures pictures_of(const Recorded& recorded, const RecordedLines& lines,
                             const RecordedVehicle& vehicle, Units units, double width);

}  // namespace perrev
