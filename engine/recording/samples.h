// What a recorder wrote down, in SI, a block of rows at a time.
//
// A recording goes through the room in this order, each stage handing blocks to the next, so that a
// file of any length needs no more memory than a few blocks:
//
//     bytes -> RecordingReader -> Samples -> Timeline -> EvenBlock -> Analyser -> Analysis
//
// and what stands out in the Analysis is held against the vehicle by providers/recorded_lines.h.
#pragma once

#include <array>
#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace perrev {

// Ahead, to the left, up, as far as whoever placed the recorder knows.
inline constexpr std::size_t kAxes = 3;

// Rows one after the other, as they stand in the file: times may jump, stand still or go back. A
// column that the file does not have is empty; within a column not-a-number is a row without it.
struct Samples {
  std::vector<double> time;                             // s
  std::array<std::vector<double>, kAxes> acceleration;  // m/s2
  std::vector<double> speed;                            // m/s
  std::vector<double> engine_hz;                        // turns of the crankshaft in a second
  std::size_t first_line = 0;  // of the file, of the first row; 0: the file has no lines

  std::size_t size() const { return time.size(); }
};
using SampleSink = std::function<void(const Samples&)>;

// After mending: one rate, no holes. A column that is not known is empty, and is so in every block
// of a recording.
struct EvenBlock {
  double rate = 0.0;   // Hz; one and the same all along
  double begin = 0.0;  // s, of the first sample
  // It begins where the last one ended; false for the first, and after a gap.
  bool goes_on = false;
  std::array<std::vector<double>, kAxes> acceleration;  // m/s2
  std::vector<double> speed;                            // m/s, continuous: not in steps
  std::vector<double> engine_hz;

  std::size_t size() const;
};
using EvenSink = std::function<void(const EvenBlock&)>;

// Something about a recording that its owner should know.
struct RecordingFinding {
  enum class Kind {
    told,    // only said
    mended,  // and put right, or left out, so that the rest can be used
  };
  Kind kind = Kind::told;
  std::string id;         // "gap", "backward_time", "clipping", ...
  std::string what;       // a sentence
  std::size_t line = 0;   // of the file, where it is first; 0: everywhere, or no lines
  std::size_t times = 1;  // how often
};

}  // namespace perrev
