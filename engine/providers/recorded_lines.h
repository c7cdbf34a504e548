// What stands out in a recording, held against the vehicle: which part turns so fast?
//
// A vibration is a line found in one domain or several: at a steady speed the same one shows
// against seconds, metres and turns of the engine alike; once the speed changes, only against what
// it hangs on. Every line that the causes of the rule base may shake on is a meaning it may have,
// as likely before as complaints of those causes are usual; so is anything else, log-uniform from 1
// to 200 Hz.
//     P(meaning | line) ~ share * domain * N(ln at; ln of the meaning, own and shared spread)
// All lines that follow the road share one error, that of the wheels' turns per metre: it is summed
// over, for all vibrations together, so that two of them settle what one leaves open, and what is
// then left of it is the rolling circumference as driven.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/providers/usual_turns.h"
#include "engine/recording/analysis.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

struct RecordedMeaning {
  std::string source;  // a word of the rule base
  double order = 1.0;
  double probability = 0.0;
  bool usual = false;  // by typical vehicles: this one's ratio is not known

  std::string about() const;  // "tire order 1"
};

struct RecordedVibration {
  FoundLine line;                // where it stands out most
  std::vector<FoundLine> also;   // the same in other domains
  const Track* track = nullptr;  // of Analysis::tracks, where it was followed
  // At the speed where it is strongest; of a line that was not followed, at the mean speed.
  double speed = 0.0, hz = 0.0;
  double hz_sd = 0.0;
  double amplitude = 0.0;  // m/s2 peak, all axes together, there
  double felt = 0.0;       // the same, by the weightings of ISO 2631-1: which is felt most
  std::vector<RecordedMeaning> meanings;  // most probable first, those above 1 in 1,000
  double unexplained = 1.0;

  // More than one meaning may be it.
  bool ambiguous() const;
};

struct RecordedLines {
  std::vector<RecordedVibration> vibrations;  // felt most first
  // As driven, m; only where satellite speed was recorded, and a line tells it better than the
  // tire's size does.
  std::optional<Estimate> circumference;
};

// Mean speeds of the recording, those it knows, without the error of a person who reads them.
Motion recorded_motion(const Analysis& analysis, SpeedSource by);

// `analysis` must outlive the result.
RecordedLines recorded_lines(const RuleBase& base, const VehicleFacts& vehicle,
                             const UsualTurns& usual, const Analysis& analysis, SpeedSource by);

}  // namespace perrev
