// A recording on its way from bytes to what it shows.
//
//     take_speed(...)   bytes of a separate file of speeds, all of them first
//     finish_speed()    after the last of them: what is wrong with that file as a whole
//     take(...)         bytes of the recording, cut anywhere
//     finish()
// A problem refuses it for good. Bounded memory, however long it is.
#pragma once

#include <memory>
#include <optional>
#include <string_view>

#include "src/answers/recording/recorded.h"

namespace perrev {

// What is known of a wheel before it is recorded, as in AnalysisTerms; of one whose size is not
// known as much as that.
struct WheelTerms {
  double turns_per_metre = 0.5, lowest_order = 0.8;
};

struct RecordingTerms {
  ReadingOptions reading, speed_file;      // of the recording, of a file of speeds beside it
  std::optional<double> speed, engine_hz;  // held all along: m/s, turns in a second
  std::optional<double> offset;            // s: on the times of the file of speeds
  SpeedSource by = SpeedSource::unknown;   // unknown: as recorders do, by satellite
  WheelTerms wheel;
};

class RecordingRun {
 public:
  explicit RecordingRun(const RecordingTerms& terms);
  ~RecordingRun();

  std::optional<Problem> take_speed(std::string_view bytes);
  std::optional<Problem> finish_speed();
  std::optional<Problem> take(std::string_view bytes);
  // What was found out before, and is told first.
  void tell(RecordingFinding finding);
  // Once.
  Result<Recorded> finish();
  double seconds() const;  // analysed so far
  // At any time, refused or not.
  std::vector<FileColumn> file_columns() const;
  std::vector<FileColumn> speed_file_columns() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace perrev
