// WAV files of every format that is read, made byte by byte from the specification.
#include "engine/recording/wav.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <string>

#include "engine/recording/csv_rows.h"
#include "tests/engine/recording/made_up.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

std::string little(std::uint64_t value, std::size_t width) {
  std::string out;
  for (std::size_t i = 0; i < width; ++i)
    out += static_cast<char>(static_cast<unsigned char>(value >> (8 * i)));
  return out;
}

struct WavMade {
  unsigned format = 1, bits = 16;
  std::size_t channels = 1, frames = 3000;
  std::uint32_t rate = 1000;
  bool extensible = false;
  std::string before;           // chunks before the format
  std::string behind;           // after the data
  std::uint32_t size_told = 1;  // of the data; 1: the right one
  const char* kind = "RIFF";

  static double value(std::size_t channel, std::size_t frame) {
    return 0.7 * std::sin(0.05 * static_cast<double>(frame) + static_cast<double>(channel));
  }
  std::string sample(double value) const {
    if (format == 3 && bits == 32) {
      const float single = static_cast<float>(value);
      std::string out(4, '\0');
      std::memcpy(out.data(), &single, 4);
      return out;
    }
    if (format == 3) {
      std::string out(8, '\0');
      std::memcpy(out.data(), &value, 8);
      return out;
    }
    const double full = std::ldexp(1.0, static_cast<int>(bits) - 1);
    const auto whole = static_cast<std::int64_t>(std::lround(value * full));
    return bits == 8 ? little(static_cast<std::uint64_t>(whole + 128), 1)
                     : little(static_cast<std::uint64_t>(whole), bits / 8);
  }
  std::string bytes() const {
    const std::size_t frame = channels * bits / 8;
    std::string head = little(extensible ? 0xFFFE : format, 2) + little(channels, 2) +
                       little(rate, 4) + little(rate * frame, 4) + little(frame, 2) +
                       little(bits, 2);
    if (extensible)
      head += little(22, 2) + little(bits, 2) + little(0, 4) + little(format, 2) +
              std::string("\x00\x00\x00\x00\x10\x00\x80\x00\x00\xAA\x00\x38\x9B\x71", 14);
    std::string data;
    for (std::size_t i = 0; i < frames; ++i)
      for (std::size_t c = 0; c < channels; ++c) data += sample(value(c, i));
    const std::uint64_t size = size_told == 1 ? data.size() : size_told;
    std::string out =
        before + "fmt " + little(head.size(), 4) + head + "data" + little(size, 4) + data + behind;
    return kind + little(out.size() + 4, 4) + "WAVE" + out;
  }
};

ReadingOptions scaled(double full_scale) {
  ReadingOptions out;
  out.full_scale = {full_scale};
  return out;
}

std::string said_of_wav(const ReadBack& read) { return read.refused ? read.refused->what : ""; }

}  // namespace

TEST_CASE("every format comes out within its own step") {
  struct FormatRow {
    unsigned format, bits;
    bool extensible;
    double step;  // of full scale
  };
  const FormatRow rows[] = {{1, 8, false, 1.0 / 128},
                            {1, 16, false, 1.0 / 32768},
                            {1, 24, false, 1.0 / 8388608},
                            {1, 32, false, 1.0 / 2147483648.0},
                            {3, 32, false, 1e-7},
                            {3, 64, false, 1e-15},
                            {1, 16, true, 1.0 / 32768},
                            {1, 24, true, 1.0 / 8388608},
                            {3, 32, true, 1e-7}};
  for (const FormatRow& row : rows)
    for (const std::size_t channels : {1u, 3u}) {
      INFO(row.format, " ", row.bits, " ", channels);
      WavMade made;
      made.format = row.format;
      made.bits = row.bits;
      made.extensible = row.extensible;
      made.channels = channels;
      const ReadBack read = read_back(made.bytes(), scaled(20.0));
      REQUIRE(said_of_wav(read) == "");
      CHECK(read.findings.empty());
      const Samples all = read.whole();
      REQUIRE(all.size() == made.frames);
      CHECK(all.first_line == 0);
      CHECK(all.time[2500] == 2.5);
      for (std::size_t c = 0; c < channels; ++c) {
        const std::vector<double>& axis = all.acceleration[channels == 1 ? 2 : c];
        for (std::size_t i = 0; i < axis.size(); ++i)
          REQUIRE(std::fabs(axis[i] - 20.0 * WavMade::value(c, i)) <= 0.5001 * 20.0 * row.step);
      }
    }
}

TEST_CASE("chunks that are not known are skipped, odd ones with their padding") {
  WavMade made;
  made.before = "JUNK" + little(5, 4) + std::string(6, 'x') + "LIST" + little(0, 4);
  CHECK(read_back(made.bytes(), scaled(1.0)).whole().size() == made.frames);
}

TEST_CASE("sizes that a streaming recorder leaves open mean up to the end") {
  for (const std::uint32_t told : {0u, 0xFFFFFFFFu}) {
    WavMade made;
    made.size_told = told;
    const ReadBack read = read_back(made.bytes(), scaled(1.0));
    CHECK(read.whole().size() == made.frames);
    CHECK(read.finding("truncated") == nullptr);
    CHECK(read.finding("open_end") != nullptr);
  }
  WavMade made;
  made.size_told = 50'000;
  const ReadBack read = read_back(made.bytes(), scaled(1.0));
  CHECK(read.whole().size() == made.frames);
  CHECK(read.finding("truncated") != nullptr);
}

TEST_CASE("a file with sizes of 64 bits ends where they say") {
  for (const char* kind : {"RF64", "BW64"}) {
    WavMade made;
    made.kind = kind;
    made.size_told = 0xFFFFFFFFu;
    made.before = "ds64" + little(28, 4) + little(6100, 8) + little(2 * made.frames, 8) +
                  little(made.frames, 8) + little(0, 4);
    made.behind = "LIST" + little(4, 4) + "INFO";
    const ReadBack read = read_back(made.bytes(), scaled(1.0));
    CHECK(said_of_wav(read) == "");
    CHECK(read.whole().size() == made.frames);
    CHECK(read.findings.empty());
  }
}

TEST_CASE("what stands behind the samples is no sample, and told where it is no chunk") {
  struct BehindRow {
    std::string behind;
    bool told;
  };
  const std::string zeros(500, '\0');
  const BehindRow rows[] = {
      {"LIST" + little(4, 4) + "INFO", false},
      {"LIST" + little(3, 4) + std::string("abc\0", 4) + "cue " + little(0, 4), false},
      {"LIST" + little(400, 4) + "INFO", true},
      {"data" + little(500, 4) + zeros, true},
      {zeros, true},
      {"\x01", true}};
  for (const BehindRow& row : rows) {
    INFO(row.behind.substr(0, 4));
    WavMade made;
    made.behind = row.behind;
    const ReadBack read = read_back(made.bytes(), scaled(1.0));
    CHECK(said_of_wav(read) == "");
    CHECK(read.whole().size() == made.frames);
    CHECK((read.finding("behind_samples") != nullptr) == row.told);
  }
  WavMade odd;  // a byte of padding follows
  odd.bits = 8;
  odd.frames = 2999;
  odd.behind = std::string("\0LIST", 5) + little(0, 4);
  CHECK(read_back(odd.bytes(), scaled(1.0)).findings.empty());
}

TEST_CASE("a size that wrapped round at 4 GB is refused") {
  const ReadingOptions options = scaled(1.0);
  FindingLog log;
  WavReader reader(options, [](const Samples&) {}, log);
  CHECK(!reader.take(WavMade().bytes()));
  const std::string more(1 << 20, '\x05');
  std::optional<Problem> refused;
  for (int i = 0; i < 4096 && !refused; ++i) refused = reader.take(more);
  REQUIRE(refused);
  CHECK(refused->what.find("goes on for 4 GB behind the samples") != std::string::npos);
}

TEST_CASE("channels by hand, each with its full scale") {
  WavMade made;
  made.channels = 4;
  ReadingOptions options;
  options.full_scale = {1.0, 2.0, 3.0, 4.0};
  options.channels = {4, 0, 2};
  const ReadBack read = read_back(made.bytes(), options);
  REQUIRE(said_of_wav(read) == "");
  const Samples all = read.whole();
  CHECK(all.acceleration[0][100] == doctest::Approx(4.0 * WavMade::value(3, 100)).epsilon(1e-3));
  CHECK(all.acceleration[1].empty());
  CHECK(all.acceleration[2][100] == doctest::Approx(2.0 * WavMade::value(1, 100)).epsilon(1e-3));
  CHECK(read.columns.size() == 2);
}

TEST_CASE("a WAV file without what it can't say, or that is none, is refused") {
  WavMade four, law, broken, none;
  four.channels = 4;
  law.format = 7;
  law.bits = 8;
  broken.bits = 12;
  none.frames = 0;
  CHECK(said_of_wav(read_back(WavMade().bytes())).find("full scale is in m/s2") !=
        std::string::npos);
  CHECK(said_of_wav(read_back(four.bytes(), scaled(1.0))).find("which of the WAV file's 4") !=
        std::string::npos);
  CHECK(said_of_wav(read_back(law.bytes(), scaled(1.0))).find("format 7 with 8 bits") !=
        std::string::npos);
  CHECK(said_of_wav(read_back(none.bytes(), scaled(1.0))).find("holds no samples") !=
        std::string::npos);
  CHECK(said_of_wav(read_back(WavMade().bytes().substr(0, 30), scaled(1.0)))
            .find("holds no samples") != std::string::npos);
  CHECK(said_of_wav(read_back(broken.bytes(), scaled(1.0))).find("channels in frames of") !=
        std::string::npos);
  WavMade twice;
  twice.before = WavMade().bytes().substr(12, 24);
  CHECK(said_of_wav(read_back(twice.bytes(), scaled(1.0))).find("two formats") !=
        std::string::npos);
  ReadingOptions beyond = scaled(1.0);
  beyond.channels = {1, 1, 0};
  CHECK(said_of_wav(read_back(WavMade().bytes(), beyond)).find("channel 1 is named twice") !=
        std::string::npos);
  beyond.channels = {2, 0, 0};
  CHECK(said_of_wav(read_back(WavMade().bytes(), beyond)).find("there is no channel 2") !=
        std::string::npos);
}

TEST_CASE("a WAV file cut anywhere makes the same blocks") {
  WavMade made;
  made.channels = 3;
  made.bits = 24;
  made.frames = 9000;
  const std::string bytes = made.bytes();
  const Samples whole = read_back(bytes, scaled(1.0)).whole();
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    Random random(seed);
    std::vector<std::size_t> cuts(1 + random.below(50));
    for (std::size_t& each : cuts) each = random.below(seed % 2 ? 120 : bytes.size());
    std::sort(cuts.begin(), cuts.end());
    const ReadBack parts = read_back(bytes, scaled(1.0), cuts);
    CHECK(parts.blocks.size() == 3);
    CHECK(parts.whole().time == whole.time);
    CHECK(parts.whole().acceleration == whole.acceleration);
  }
}

TEST_CASE("an overdriven WAV file is refused when it is put on its line of time") {
  WavMade made;
  made.frames = 20'000;
  Samples all = read_back(made.bytes(), scaled(20.0)).whole();
  CHECK(!mended_back(all).refused);
  for (double& each : all.acceleration[2]) each = std::clamp(each, -10.0, 10.0);
  const MendedBack back = mended_back(all);
  REQUIRE(back.refused);
  CHECK(back.refused->what.find("the sensor is overdriven") != std::string::npos);
}
