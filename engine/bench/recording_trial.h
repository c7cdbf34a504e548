// How well the analysis finds what shakes, on recordings of made-up drives.
//
// Each is driven twice over the same road, with the fault and without: what is apart is the tone
// alone, and the drive without it is the road alone. The fault's size is then set so that the tone
// stands a given number of decibels over the road, both as powers: the tone's in all axes together,
// and the road's in one bandwidth of the spectrum about it. The vehicle's tire
// size, driven axle and axle ratio are looked up; its circumference is off all the same. Front and
// rear driveshaft, which turn alike, count as one.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engine/bench/synthetic_recording.h"

namespace perrev {

struct RecordingTrial {
  DriveShape shape = DriveShape::through;
  std::string line;   // "tire order 1"
  double db = 0.0;    // of the tone over the road, in one bandwidth
  std::string found;  // what is felt most and most probable; empty: nothing stands out
  bool right = false, in_three = false;  // the line of the truth: found; among what is named
  bool named_ambiguous = false;
  // Of the line that lies nearest to the truth; nothing where none lies within 3 bandwidths.
  bool seen = false;
  double amplitude = 1.0;   // r.m.s., of the tone's own
  double hz_off = 0.0;      // at the mean speed
  double order_off = 0.0;   // orders of the part, by the true circumference
  std::size_t claimed = 0;  // lines in the drive without the fault
};

struct RecordingTrialTerms {
  double lowest_db = 6.0, highest_db = 20.0;  // of the tone over the road, each as likely
  double sample_rate = 1000.0;                // Hz: what the fastest line of a wheel needs
};

// Of a complaint of `seed` and `number`, the shapes of drives in turn; nothing where its fault does
// not reach the recorder.
std::optional<RecordingTrial> try_recording(const Simulator& simulator, std::uint64_t seed,
                                            std::uint64_t number, const RecordingTrialTerms& terms);

struct RecordingScore {
  int recordings = 0;
  double right = 0.0, in_three = 0.0;  // shares
  double silent = 0.0;                 // nothing claimed without a fault
  double seen = 0.0;
  double amplitude_rms = 0.0;  // error, relative
  double hz_within = 0.0;      // share of steady drives within 0.1 Hz
  double order_within = 0.0;   // share of the others within 0.01 of an order
};
RecordingScore recording_score(const std::vector<RecordingTrial>& trials);

}  // namespace perrev
