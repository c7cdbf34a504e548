// A first way through a recording and its separate file of speeds, to put their clocks together.
//
//     take_speed(...)   all bytes of the file of speeds
//     end_speed()       after the last of them: what is wrong with that file as a whole
//     take(...)         those of the recording
//     finish()
#pragma once

#include <optional>
#include <string_view>

#include "engine/recording/clock_offset.h"
#include "engine/recording/recording_reader.h"

namespace perrev {

class ClockSearch {
 public:
  explicit ClockSearch(const ReadingOptions& reading);
  ClockSearch(const ClockSearch&) = delete;
  ClockSearch& operator=(const ClockSearch&) = delete;

  std::optional<Problem> take_speed(std::string_view bytes);
  std::optional<Problem> end_speed();
  std::optional<Problem> take(std::string_view bytes);
  // Nothing where the drive does not show it.
  Result<std::optional<ClockOffset>> finish();

 private:
  SlowTrace speed_{SlowTrace::Of::speed};
  MeanMotion motion_;
  std::optional<Problem> refused_;
  bool speed_ended_ = false;
  RecordingReader speeds_, recording_;
};

// What is told of it: the offset that was found, or that none could be.
RecordingFinding clock_finding(const std::optional<ClockOffset>& found);

}  // namespace perrev
