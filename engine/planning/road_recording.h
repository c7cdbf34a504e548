// Recording the vibration: at which speed and in which gear the suspects' frequencies tell them
// apart, and which lines stay too close whatever is driven.
//
// From kLinesClear on two lines are told apart (road_lines.h), below it a reading between them is
// ambiguous. The first setting is in the gear in which it was felt, at the speed that tells most
// pairs of lines apart and there has the largest least separation; more than kLinesPlenty counts as
// that, and then the nearest to the felt speed wins. Further settings are added only for what the
// first leaves ambiguous: another speed, or one gear lower, which moves the lines of the engine and
// no others.
#pragma once

#include <vector>

#include "engine/planning/road_lines.h"

namespace perrev {

inline constexpr double kLinesClear = 2.0;
inline constexpr double kLinesPlenty = 3.0;

// Two lines that would tell suspects apart and can both be computed.
struct LinePair {
  std::size_t first = 0, second = 0;  // of the lines
  std::size_t setting = 0;            // of the settings: where they lie furthest apart
  LinesApart apart;                   // there
  LinesApart at_first;                // at the first setting
  double best = 0.0;                  // separation at the best of all speeds and gears tried

  bool ambiguous() const { return best < kLinesClear; }
};

struct RoadRecording {
  std::vector<SuspectLine> lines;
  std::vector<RecordingSetting> settings;  // at least one
  std::vector<LinePair> pairs;
  std::vector<int> look_up;  // facts not known, without which a line cannot be computed
};

RoadRecording plan_recording(const RuleBase& base, const CaseFacts& facts,
                             const std::vector<int>& suspects, const RoadSpeeds& speeds);

// By suspect, P(reading) in bins of frequency at one setting: nine readings in ten lie on a line of
// the suspect, the tenth, and all of a suspect without a line that can be computed, anywhere from
// 1 to 200 Hz (providers/orders.h).
std::vector<std::vector<double>> expected_readings(const RoadRecording& recording,
                                                   const RecordingSetting& setting,
                                                   std::size_t suspects);

}  // namespace perrev
