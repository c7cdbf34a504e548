// What a recording shows, in sentences for who made it.
#pragma once

#include <string>
#include <vector>

#include "engine/quantity/quantity.h"
#include "src/answers/recording/recorded.h"

namespace perrev {

// "tire order 1"; without the number of cylinders the firing order has no number.
std::string about(const RecordedMeaning& meaning);
// "0.21 m/s²", whatever the units: a person has no feeling for other ones either.
std::string acceleration_words(double acceleration);
// "13.2 Hz at 62 mph"; without the speed where none is known.
std::string where_words(const RecordedVibration& vibration, Units units);
// "up and down"; "in several directions" where no axis has most of it.
std::string direction_words(const RecordedVibration& vibration);
// "tire order 1"; "tire order 4 or driveshaft order 1"; "nothing that is known to turn so fast".
std::string meaning_words(const RecordedVibration& vibration);

// The most important first.
std::vector<std::string> recorded_sentences(const Recorded& recorded, const RecordedLines& lines,
                                            const RecordedVehicle& vehicle, Units units);

}  // namespace perrev
