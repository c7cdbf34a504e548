#include "src/answers/recording/clock_search.h"

#include <utility>

#include "src/answers/words.h"

namespace perrev {

ClockSearch::ClockSearch(const ReadingOptions& reading, const ReadingOptions& speed_file)
    : reading_(reading),
      speed_file_(speed_file),
      speeds_(speed_file,
              [this](const Samples& rows) {
                if (!refused_) refused_ = speed_.take(rows);
              }),
      recording_(reading, [this](const Samples& rows) { motion_.take(rows); }) {}

std::optional<Problem> ClockSearch::take_speed(std::string_view bytes) {
  speed_beginning_.take(bytes);
  auto problem = speeds_.take(bytes);
  return problem ? problem : refused_;
}

std::optional<Problem> ClockSearch::take(std::string_view bytes) {
  beginning_.take(bytes);
  return recording_.take(bytes);
}

std::optional<Problem> ClockSearch::finish_speed() {
  if (std::exchange(speed_ended_, true) || refused_) return refused_;
  auto wrong = speeds_.finish();  // hands on its last rows, which may be refused too
  if (!refused_) refused_ = std::move(wrong);
  if (!refused_ && speed_.any()) refused_ = speed_.finish();
  return refused_;
}

Result<std::optional<ClockOffset>> ClockSearch::finish() {
  if (auto problem = finish_speed()) return *problem;
  if (auto problem = recording_.finish()) return *problem;
  if (!speed_.any()) return std::optional<ClockOffset>();
  return estimate_clock_offset(motion_, speed_);
}

RecordingFinding clock_finding(const std::optional<ClockOffset>& found) {
  if (!found)
    return {RecordingFinding::Kind::told, "clocks",
            "The drive does not show how far the clocks of the two files are apart: they are taken "
            "for one. Say the offset where it is known."};
  return {RecordingFinding::Kind::mended, "clocks",
          "The times of the speeds are moved by " + fixed(found->seconds, 1) + " s (" +
              fixed(found->low, 1) + " to " + fixed(found->high, 1) +
              " s), as the changes of speed show in the accelerations."};
}

}  // namespace perrev
