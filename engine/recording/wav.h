// WAV to blocks of samples in m/s2: RIFF with PCM of 8, 16, 24 or 32 bits or floats of 32 or 64.
//
// (Multimedia Programming Interface and Data Specifications 1.0, IBM and Microsoft 1991;
// WAVE_FORMAT_EXTENSIBLE by its sub-format.) A WAV holds numbers of no unit: what full scale is in
// m/s2 must be given, and which channel is which axis where they are not one or three. Sizes of 0
// or 0xFFFFFFFF, as recorders leave them that stream, mean up to the end of the file.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/finding_log.h"
#include "engine/recording/recorded_column.h"
#include "engine/result.h"

namespace perrev {

class WavReader {
 public:
  WavReader(const ReadingOptions& options, SampleSink sink, FindingLog& log)
      : options_(options), sink_(std::move(sink)), log_(log) {}

  std::optional<Problem> take(std::string_view bytes);
  std::optional<Problem> finish();
  const std::vector<RecordedColumn>& columns() const { return columns_; }

 private:
  enum class At { riff, chunk, format, skipped, data, behind };
  // Eats off the front of `bytes`, keeps what is not whole yet; false where more is needed.
  std::optional<Problem> step(std::string_view& bytes, bool& more);
  bool gather(std::string_view& bytes, std::size_t wanted);
  std::optional<Problem> begin_chunk();
  std::optional<Problem> read_format();
  std::optional<Problem> choose_channels();
  void read_frames(std::string_view frames);
  void hand_on();

  const ReadingOptions& options_;
  SampleSink sink_;
  FindingLog& log_;
  std::vector<RecordedColumn> columns_;
  At at_ = At::riff;
  std::string begun_;
  std::uint64_t left_ = 0;  // of the chunk
  bool endless_ = false;
  std::size_t channels_ = 0, width_ = 0;  // bytes of a sample
  bool floats_ = false;
  double rate_ = 0.0;
  std::array<double, kAxes> scale_{};
  Samples block_;
  std::uint64_t frames_ = 0;
};

}  // namespace perrev
