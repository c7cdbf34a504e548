// A first way through a recording and its separate file of speeds, to put their clocks together.
//
//     take_speed(...)   all bytes of the file of speeds
//     finish_speed()    after the last of them: what is wrong with that file as a whole
//     take(...)         those of the recording
//     finish()
#pragma once

#include <optional>
#include <string_view>

#include "engine/recording/clock_offset.h"
#include "engine/recording/csv_header_columns.h"
#include "engine/recording/recording_reader.h"

namespace perrev {

class ClockSearch {
 public:
  ClockSearch(const ReadingOptions& reading, const ReadingOptions& speed_file);
  ClockSearch(const ClockSearch&) = delete;
  ClockSearch& operator=(const ClockSearch&) = delete;

  std::optional<Problem> take_speed(std::string_view bytes);
  std::optional<Problem> finish_speed();
  std::optional<Problem> take(std::string_view bytes);
  // Nothing where the drive does not show it.
  Result<std::optional<ClockOffset>> finish();
  // At any time, refused or not.
  std::vector<FileColumn> file_columns() const { return beginning_.columns(reading_); }
  std::vector<FileColumn> speed_file_columns() const {
    return speed_beginning_.columns(speed_file_);
  }

 private:
  ReadingOptions reading_, speed_file_;
  FileBeginning beginning_, speed_beginning_;
  SlowTrace speed_{SlowTrace::Of::speed};
  MeanMotion motion_;
  std::optional<Problem> refused_;
  bool speed_ended_ = false;
  RecordingReader speeds_, recording_;
};

// What is told of it: the offset that was found, or that none could be.
RecordingFinding clock_finding(const std::optional<ClockOffset>& found);

}  // namespace perrev
