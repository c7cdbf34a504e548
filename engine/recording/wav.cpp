#include "engine/recording/wav.h"

#include <algorithm>
#include <cstring>
#include <limits>

#include "engine/recording/csv_rows.h"

namespace perrev {

namespace {

constexpr std::uint32_t kUnknownSize = 0xFFFFFFFFu;
constexpr std::uint64_t kWrapped = 1ULL << 32;  // bytes that a size of 32 bits loses
constexpr std::size_t kSizes = 28;              // bytes: of the file, of samples, frames, a table
constexpr unsigned kPcm = 1, kFloat = 3, kExtensible = 0xFFFE;
constexpr std::size_t kMostChannels = 16, kLongestFormat = 1024;
constexpr double kMostRate = 200'000.0;  // Hz
// What follows the two bytes of the format in a sub-format's GUID.
constexpr std::string_view kSubFormat("\x00\x00\x00\x00\x10\x00\x80\x00\x00\xAA\x00\x38\x9B\x71",
                                      14);

std::uint32_t whole(std::string_view bytes, std::size_t at, std::size_t width) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < width; ++i)
    value |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[at + i])) << (8 * i);
  return value;
}

bool may_name_a_chunk(std::string_view id) {
  return std::all_of(id.begin(), id.end(), [](char c) { return c >= ' ' && c <= '~'; });
}

// 1.0 at full scale.
double sample_at(const char* at, std::size_t width, bool floats) {
  if (floats && width == 4) {
    float value;
    std::memcpy(&value, at, sizeof value);
    return static_cast<double>(value);
  }
  if (floats) {
    double value;
    std::memcpy(&value, at, sizeof value);
    return value;
  }
  const std::uint32_t value = whole(std::string_view(at, width), 0, width);
  if (width == 1) return (static_cast<double>(value) - 128.0) / 128.0;
  const unsigned shift = static_cast<unsigned>(32 - 8 * width);
  return static_cast<double>(static_cast<std::int32_t>(value << shift)) / 2147483648.0;
}

}  // namespace

bool WavReader::gather(std::string_view& bytes, std::size_t wanted) {
  const std::size_t more = std::min(bytes.size(), wanted - begun_.size());
  begun_ += bytes.substr(0, more);
  bytes.remove_prefix(more);
  return begun_.size() == wanted;
}

std::optional<Problem> WavReader::take(std::string_view bytes) {
  bool more = true;
  while (more) {
    const std::size_t before = ended_ ? bytes.size() : 0;
    if (auto wrong = step(bytes, more)) return wrong;
    if (before > 0) behind_ += before - bytes.size();
    if (behind_ >= kWrapped)
      return problem("the WAV file goes on for 4 GB behind the samples that it tells of",
                     "a file of less than 4 GB, or one of the kind RF64, whose size has room");
  }
  return std::nullopt;
}

std::optional<Problem> WavReader::step(std::string_view& bytes, bool& more) {
  more = !bytes.empty();
  switch (at_) {
    case At::riff:
      if (!gather(bytes, 12)) return std::nullopt;
      begun_.clear();
      at_ = At::chunk;
      return std::nullopt;
    case At::chunk:
      if (!gather(bytes, 8)) return std::nullopt;
      return begin_chunk();
    case At::sizes:
      if (!gather(bytes, kSizes)) return std::nullopt;
      data_ = whole(begun_, 8, 4) | static_cast<std::uint64_t>(whole(begun_, 12, 4)) << 32;
      begun_.clear();
      skip(left_ - kSizes);
      return std::nullopt;
    case At::format:
      if (!gather(bytes, static_cast<std::size_t>(left_))) return std::nullopt;
      return read_format();
    case At::skipped: {
      const std::uint64_t size = std::min<std::uint64_t>(left_, bytes.size());
      bytes.remove_prefix(static_cast<std::size_t>(size));
      left_ -= size;
      if (left_ == 0) at_ = At::chunk;
      return std::nullopt;
    }
    case At::data: {
      const std::uint64_t size =
          endless_ ? bytes.size() : std::min<std::uint64_t>(left_, bytes.size());
      read_frames(bytes.substr(0, static_cast<std::size_t>(size)));
      bytes.remove_prefix(static_cast<std::size_t>(size));
      if (!endless_) left_ -= size;
      if (!endless_ && left_ == 0) end_data();
      return std::nullopt;
    }
    case At::behind:
      bytes = {};
      more = false;
  }
  return std::nullopt;
}

void WavReader::skip(std::uint64_t bytes) {
  left_ = bytes;
  at_ = bytes > 0 ? At::skipped : At::chunk;
}

std::optional<Problem> WavReader::begin_chunk() {
  const std::string id = begun_.substr(0, 4);
  const std::uint32_t size = whole(begun_, 4, 4);
  const std::uint64_t padded = static_cast<std::uint64_t>(size) + (size & 1u);
  begun_.clear();
  if (ended_) {
    begin_chunk_behind(id, padded);
  } else if (id == "fmt ") {
    if (channels_ > 0) return problem("the WAV file tells two formats", "a WAV file as recorded");
    if (size < 16 || size > kLongestFormat)
      return problem("the WAV file's format is told in " + std::to_string(size) + " bytes",
                     "16, 18 or 40 bytes of format");
    left_ = padded;
    at_ = At::format;
  } else if (id == "ds64" && size >= kSizes) {
    left_ = padded;
    at_ = At::sizes;
  } else if (id == "data") {
    if (channels_ == 0)
      return problem("the WAV file's samples come before their format", "a WAV file as recorded");
    if (size != kUnknownSize) data_ = size;
    endless_ = data_ == 0;
    left_ = data_;
    at_ = At::data;
  } else {
    skip(padded);
  }
  return std::nullopt;
}

void WavReader::begin_chunk_behind(std::string_view id, std::uint64_t size) {
  stray_ = id == "data" || !may_name_a_chunk(id);
  if (stray_)
    at_ = At::behind;
  else
    skip(size);
}

void WavReader::end_data() {
  ended_ = true;
  cut_ = !begun_.empty();
  begun_.clear();
  skip(data_ & 1u);
}

std::optional<Problem> WavReader::read_format() {
  unsigned format = whole(begun_, 0, 2);
  channels_ = whole(begun_, 2, 2);
  rate_ = static_cast<double>(whole(begun_, 4, 4));
  const std::size_t frame = whole(begun_, 12, 2), bits = whole(begun_, 14, 2);
  if (format == kExtensible && begun_.size() >= 40 && begun_.compare(26, 14, kSubFormat) == 0)
    format = whole(begun_, 24, 2);
  begun_.clear();
  at_ = At::chunk;
  floats_ = format == kFloat;
  width_ = (bits + 7) / 8;
  const bool known = format == kPcm ? width_ >= 1 && width_ <= 4 && bits > 0
                                    : floats_ && (bits == 32 || bits == 64);
  if (!known)
    return problem("WAV samples of format " + std::to_string(format) + " with " +
                       std::to_string(bits) + " bits are not read",
                   "PCM of 8, 16, 24 or 32 bits, or floats of 32 or 64");
  if (channels_ < 1 || channels_ > kMostChannels || frame != channels_ * width_)
    return problem("a WAV file of " + std::to_string(channels_) + " channels in frames of " +
                       std::to_string(frame) + " bytes",
                   "1 to 16 channels, each frame all channels' samples");
  if (!(rate_ > 0.0) || rate_ > kMostRate)
    return problem(
        "a WAV file of " + std::to_string(static_cast<std::uint64_t>(rate_)) + " samples a second",
        "up to 200000 samples a second");
  return choose_channels();
}

std::optional<Problem> WavReader::choose_channels() {
  std::array<int, kAxes> chosen = options_.channels;
  const bool by_hand = chosen != std::array<int, kAxes>{0, 0, 0};
  if (!by_hand && channels_ == 1) chosen = {0, 0, 1};
  if (!by_hand && channels_ == 3) chosen = {1, 2, 3};
  if (!by_hand && channels_ != 1 && channels_ != 3)
    return problem("nothing says which of the WAV file's " + std::to_string(channels_) +
                       " channels is which direction",
                   "name the channels that are ahead, left and up");
  const std::vector<double>& scales = options_.full_scale;
  if (scales.empty())
    return problem("a WAV file does not say what its full scale is in m/s2",
                   "give it: what the recorder's sensitivity makes of 1.0, such as 2 g");
  if (scales.size() != 1 && scales.size() != channels_)
    return problem(std::to_string(scales.size()) + " full scales for " + std::to_string(channels_) +
                       " channels",
                   "one for all channels or one for each");
  for (std::size_t a = 0; a < kAxes; ++a) {
    if (chosen[a] == 0) continue;
    if (chosen[a] < 1 || static_cast<std::size_t>(chosen[a]) > channels_)
      return problem("there is no channel " + std::to_string(chosen[a]),
                     "the WAV file has channels 1 to " + std::to_string(channels_));
    if (std::count(chosen.begin(), chosen.end(), chosen[a]) > 1)
      return problem("channel " + std::to_string(chosen[a]) + " is named twice",
                     "one direction for each");
    const std::size_t channel = static_cast<std::size_t>(chosen[a]) - 1;
    scale_[a] = scales[scales.size() == 1 ? 0 : channel];
    if (!(scale_[a] > 0.0)) return problem("a full scale must lie above 0");
    columns_.push_back({static_cast<Role>(a + static_cast<std::size_t>(Role::x)),
                        "channel " + std::to_string(chosen[a]), "full scale", scale_[a], channel});
    block_.acceleration[a].reserve(kBlockRows);
  }
  return std::nullopt;
}

void WavReader::read_frames(std::string_view bytes) {
  const std::size_t frame = channels_ * width_;
  const auto read = [&](const char* at) {
    block_.time.push_back(static_cast<double>(frames_++) / rate_);
    for (const RecordedColumn& each : columns_)
      block_.acceleration[static_cast<std::size_t>(each.role) - static_cast<std::size_t>(Role::x)]
          .push_back(each.size * sample_at(at + each.column * width_, width_, floats_));
    if (block_.size() == kBlockRows) hand_on();
  };
  if (!begun_.empty()) {
    if (!gather(bytes, frame)) return;
    read(begun_.data());
    begun_.clear();
  }
  for (; bytes.size() >= frame; bytes.remove_prefix(frame)) read(bytes.data());
  begun_ = bytes;
}

void WavReader::hand_on() {
  if (block_.size() > 0) sink_(block_);
  block_.time.clear();
  for (std::vector<double>& axis : block_.acceleration) axis.clear();
}

std::optional<Problem> WavReader::finish() {
  hand_on();
  if (frames_ == 0)
    return problem("the WAV file holds no samples", "a WAV file with a format and data");
  if (endless_)
    log_.tell("open_end",
              "The WAV file does not say how many samples it has; it is read up to its end.");
  if (cut_ || (at_ == At::data && (!endless_ || !begun_.empty())))
    log_.tell("truncated", "The WAV file ends before its samples do; what is there is read.");
  if (stray_ || (ended_ && (!begun_.empty() || (at_ == At::skipped && left_ > 1))))
    log_.mend("behind_samples",
              "The WAV file goes on behind the samples that it tells of with what is no part of "
              "one; that is left out.");
  return std::nullopt;
}

}  // namespace perrev
