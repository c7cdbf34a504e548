// Text and WAV read: faults with their lines, and that nothing depends on how bytes are cut.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

#include "engine/recording/csv_rows.h"
#include "engine/recording/recording_reader.h"
#include "tests/engine/recording/made_up.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

struct FaultyText {
  const char* text;
  const char* id;
  std::size_t line, times;
};

const FaultyText kFaulty[] = {
    {"time_s,az_g\n0,1\n0.01,x\n0.02,1\n0.03,1\n0.04,1\n0.05,1\n0.06,1\n0.07,1\n0.08,1\n0.09,1\n"
     "0.1,1\n",
     "unreadable", 3, 1},
    {"time_s,az_g,speed_mps\n0,1,-1\n1,1,20\n", "speed_none", 2, 1},
    {"time_s,az_g\n0,1\n,1\n0.02,1\nNaN,1\n1e999,1\n", "no_time", 3, 3},
};

// A file with one value a row, `rows` of them.
std::string text_of(const char* names, const char* format, int rows) {
  std::string out = std::string(names) + "\n";
  for (int i = 0; i < rows; ++i) {
    char line[96];
    std::snprintf(line, sizeof line, format, i * 0.01);
    out += line;
    out += "\n";
  }
  return out;
}

std::string said_by(const ReadBack& read) {
  if (!read.refused) return "";
  const int line = read.refused->place.line;
  return (line > 0 ? std::to_string(line) + ":" : "") + read.refused->what;
}

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

bool same(const std::vector<double>& a, const std::vector<double>& b) {
  return a.size() == b.size() &&
         std::equal(a.begin(), a.end(), b.begin(), [](double x, double y) { return same(x, y); });
}

void check_same(const ReadBack& a, const ReadBack& b) {
  CHECK(said_by(a) == said_by(b));
  REQUIRE(a.blocks.size() == b.blocks.size());
  for (std::size_t i = 0; i < a.blocks.size(); ++i) {
    CHECK(a.blocks[i].first_line == b.blocks[i].first_line);
    CHECK(same(a.blocks[i].time, b.blocks[i].time));
    CHECK(same(a.blocks[i].speed, b.blocks[i].speed));
    for (std::size_t k = 0; k < kAxes; ++k)
      CHECK(same(a.blocks[i].acceleration[k], b.blocks[i].acceleration[k]));
  }
  REQUIRE(a.findings.size() == b.findings.size());
  for (std::size_t i = 0; i < a.findings.size(); ++i) {
    CHECK(a.findings[i].what == b.findings[i].what);
    CHECK(a.findings[i].line == b.findings[i].line);
    CHECK(a.findings[i].times == b.findings[i].times);
  }
}

std::string messy_text() {
  std::string out = "\xEF\xBB\xBF# made up\r\n\r\ntime_s;az_g;\"speed\"\r\n;;km/h\r\n";
  Random random(2);
  for (int i = 0; i < 9000; ++i) {
    char line[96];
    std::snprintf(line, sizeof line, "%d,%02d;%s%03zu%s;%s\r\n", i / 100, i % 100,
                  i % 7 == 0 ? "\" 1," : "1,", random.below(100), i % 7 == 0 ? "\"" : "",
                  i % 11 == 0 ? "NaN" : (i % 5 == 0 ? "61,5" : ""));
    out += i % 97 == 0 ? "\r\n" : line;
  }
  return out + "90,0;1,0;60";  // no line end
}

}  // namespace

TEST_CASE("what a row lacks is told with its line") {
  for (const FaultyText& row : kFaulty) {
    INFO(std::string(row.text));
    const ReadBack read = read_back(row.text);
    CHECK(said_by(read) == "");
    const RecordingFinding* const found = read.finding(row.id);
    REQUIRE(found);
    CHECK(found->line == row.line);
    CHECK(found->times == row.times);
    CHECK(found->kind == RecordingFinding::Kind::mended);
  }
}

TEST_CASE("a line is that of its row, whatever lines between are empty") {
  const ReadBack read = read_back("# a\n\ntime_s,az_g\n0,1\n\n# b\n0.01,1.5\n");
  const Samples rows = read.whole();
  CHECK(rows.first_line == 4);
  REQUIRE(rows.size() == 4);
  CHECK(rows.time[3] == 0.01);
  CHECK(std::isnan(rows.time[1]));
  CHECK(std::isnan(rows.time[2]));
}

TEST_CASE("cells that stand for none, short rows and quotes") {
  const Samples rows =
      read_back("time_s,az_g,speed_mps\n0,1,2\n1,,3\n2,NaN,\n3\n\"4\", 1 ,\"5\"\n5,null,-\n")
          .whole();
  REQUIRE(rows.size() == 6);
  const double g = 9.80665, none = NAN;
  CHECK(same(rows.acceleration[2], {g, none, none, none, g, none}));
  CHECK(same(rows.speed, {2, 3, none, none, 5, none}));
  CHECK(same(rows.time, {0, 1, 2, 3, 4, 5}));
}

TEST_CASE("times of the day count on past midnight, and that is told") {
  const ReadBack read = read_back(
      "time,az_g\n23:59:59.98,1\n23:59:59.99,1\n00:00:00.00,1\n23:59:59.995,1\n00:00:00.01,1\n");
  const std::vector<double> due{86399.98, 86399.99, 86400.0, 86399.995, 86400.01};
  const Samples rows = read.whole();
  REQUIRE(rows.size() == due.size());
  for (std::size_t i = 0; i < due.size(); ++i)
    CHECK(rows.time[i] == doctest::Approx(due[i]).epsilon(1e-12));
  REQUIRE(read.finding("midnight"));
  CHECK(read.finding("midnight")->line == 4);
  CHECK(
      !read_back("time,az_g\n2026-05-04T23:59:59,1\n2026-05-05T00:00:00,1\n").finding("midnight"));
}

TEST_CASE("a glitch says nothing of the unit") {
  std::string text = text_of("time_s,az_mps2", "%.2f,9.81", 600);
  for (const char* glitch : {"6.005,32768\n", "6.006,1e308\n", "6.007,-1e308\n"}) text += glitch;
  CHECK(said_by(read_back(text)) == "");
}

TEST_CASE("a unit that gravity contradicts is refused, with the unit it looks like") {
  struct UnitFault {
    const char *names, *format, *said, *right;
  };
  const UnitFault rows[] = {
      {"time_s,az_mps2", "%.2f,1.01", "said to be in mps2, but gravity reads 1 in them", "like g"},
      {"time_s,az_g", "%.2f,9.81", "said to be in g, but gravity reads 9.81", "like m/s2"},
      {"time_s,az_g", "%.2f,990", "said to be in g, but gravity reads 1000", "like mg"},
      {"time_s,az_mg", "%.2f,0.99", "said to be in mg, but gravity reads 1 in", "like g"},
      {"time_s,az_g", "%.2f,60", "are 588 m/s2 r.m.s.", "check their unit"},
  };
  for (const UnitFault& row : rows) {
    INFO(std::string(row.names));
    const ReadBack read = read_back(text_of(row.names, row.format, 600));
    INFO(said_by(read));
    CHECK(said_by(read).find(row.said) != std::string::npos);
    REQUIRE(read.refused);
    CHECK(read.refused->right.find(row.right) != std::string::npos);
  }
  // Without gravity nothing can be said, and a pull of a tenth of g is no gravity for long.
  CHECK(said_by(read_back(text_of("time_s,az_mps2", "%.2f,0.2", 600))) == "");
  CHECK(said_by(read_back(text_of("time_s,az_mps2", "%.2f,9.7", 600))) == "");
  std::string pull = "time_s,ax_mps2\n";
  for (int i = 0; i < 1000; ++i) pull += std::to_string(0.01 * i) + (i < 400 ? ",1.0\n" : ",0.3\n");
  CHECK(said_by(read_back(pull)) == "");
}

TEST_CASE("what is no recording is refused in words") {
  struct Refused {
    std::string bytes, said;
  };
  const Refused rows[] = {
      {"time_s,az_g\n0,1\nx,y\nx,y\nx,y\n", "3:3 of 4 rows have cells that are no numbers"},
      {"time_s,az_g\n0,1\n" + std::string(70'000, '1'), "3:a line of more than 65536 bytes"},
      {std::string(70'000, 'a'), "1:a line of more than 65536 bytes"},
      {std::string("\xFF\xFEt\0i\0m\0e\0", 10), "text in UTF-16"},
      {"RIFF....AVI LIST", "a RIFF file that is no WAV"},
      {"RF64....AVI ds64", "a RIFF file that is no WAV"},
      {"RIFX....WAVEfmt ", "a WAV file of the kind RIFX"},
      {std::string("t\0i\0m\0e\0", 8), "text in UTF-16"},
      {std::string(5000, '\0'), "it is no text"},
  };
  for (const Refused& row : rows) {
    INFO(row.said);
    CHECK(said_by(read_back(row.bytes)).find(row.said) != std::string::npos);
  }
}

TEST_CASE("bytes cut anywhere make the same blocks") {
  const std::string text = messy_text();
  const ReadBack whole = read_back(text);
  REQUIRE(said_by(whole) == "");
  CHECK(whole.blocks.size() == 3);
  for (const Samples& block : whole.blocks) CHECK(block.size() <= kBlockRows);
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    Random random(seed);
    std::vector<std::size_t> cuts(1 + random.below(60));
    for (std::size_t& each : cuts) each = random.below(seed % 2 ? 300 : text.size());
    std::sort(cuts.begin(), cuts.end());
    check_same(read_back(text, {}, cuts), whole);
  }
  std::vector<std::size_t> each_byte(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) each_byte[i] = i;
  check_same(read_back(text, {}, each_byte), whole);
}

TEST_CASE("a long stream stays in blocks of a few thousand rows") {
  std::size_t rows = 0, samples = 0, largest = 0;
  Timeline line({}, [&](const EvenBlock& block) {
    samples += block.size();
    largest = std::max(largest, block.size());
  });
  RecordingReader reader({}, [&](const Samples& block) {
    rows += block.size();
    CHECK(block.size() <= kBlockRows);
    CHECK(!line.take(block));
  });
  CHECK(!reader.take("time_s,ax_mps2,az_mps2,speed_mps\n"));
  std::string piece;
  for (int i = 0; i < 1'500'000; ++i) {
    char row[96];
    std::snprintf(row, sizeof row, "%d.%03d,0.%03d,9.%03d,%d\n", i / 1000, i % 1000, i % 777,
                  i % 991, 20 + i / 1000 % 7);
    piece += row;
    if (piece.size() < 50'000) continue;
    CHECK(!reader.take(piece));
    piece.clear();
  }
  CHECK(!reader.take(piece));
  CHECK(!reader.finish());
  CHECK(!line.finish());
  CHECK(rows == 1'500'000);
  CHECK(samples == 1'500'000);
  CHECK(largest == kEvenBlock);
}
