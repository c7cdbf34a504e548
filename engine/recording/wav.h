// WAV to blocks of samples in m/s2: PCM of 8, 16, 24 or 32 bits or floats of 32 or 64.
//
// (Multimedia Programming Interface and Data Specifications 1.0, IBM and Microsoft 1991;
// WAVE_FORMAT_EXTENSIBLE by its sub-format; of more than 4 GB as RF64, EBU Tech 3306, or BW64,
// ITU-R BS.2088.) A WAV holds numbers of no unit: what full scale is in m/s2 must be given, and
// which channel is which axis where they are not one or three. Sizes of 0 or 0xFFFFFFFF, as
// recorders leave them that stream, mean up to the end of the file. What stands behind the samples
// is left out, and told where it is no chunk; 4 GB of it mean a size that wrapped round, which is
// refused.
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
  enum class At { riff, chunk, sizes, format, skipped, data, behind };
  // Eats off the front of `bytes`, keeps what is not whole yet; false where more is needed.
  std::optional<Problem> step(std::string_view& bytes, bool& more);
  bool gather(std::string_view& bytes, std::size_t wanted);
  std::optional<Problem> begin_chunk();
  void begin_chunk_behind(std::string_view id, std::uint64_t size);
  void skip(std::uint64_t bytes);
  void end_data();
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
  std::uint64_t left_ = 0;               // of the chunk
  std::uint64_t data_ = 0, behind_ = 0;  // bytes of samples, and after them
  bool endless_ = false;                 // nobody knows how many
  bool ended_ = false, cut_ = false, stray_ = false;
  std::size_t channels_ = 0, width_ = 0;  // bytes of a sample
  bool floats_ = false;
  double rate_ = 0.0;
  std::array<double, kAxes> scale_{};
  Samples block_;
  std::uint64_t frames_ = 0;
};

}  // namespace perrev
