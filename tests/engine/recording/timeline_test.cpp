// Every fault of a recording is told with its line, and mended or refused.
#include "engine/recording/timeline.h"

#include <doctest/doctest.h>

#include <limits>
#include <string>

#include "tests/engine/recording/made_up.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

struct FaultRow {
  const char* what;
  MadeUp made;
  std::function<void(Samples&)> fault;
  const char* id;     // of the finding; "": none at all
  std::size_t line;   // the finding's
  std::size_t times;  // how often; 0: not held to
  std::size_t pieces;
};

void set_z(Samples& rows, std::size_t from, std::size_t to, double value) {
  for (std::size_t i = from; i < to; ++i) rows.acceleration[2][i] = value;
}

// Line of row i is i + 2.
const FaultRow kFaults[] = {
    {"nothing", {}, [](Samples&) {}, "", 0, 0, 1},
    {"a row twice",
     {},
     [](Samples& rows) {
       rows.time[100] = rows.time[99];
       rows.acceleration[0][100] = rows.acceleration[0][99];
       rows.acceleration[2][100] = rows.acceleration[2][99];
     },
     "duplicate_time",
     102,
     1,
     1},
    {"a stamp twice",
     {},
     [](Samples& rows) { rows.time[100] = rows.time[99]; },
     "duplicate_time",
     102,
     1,
     1},
    {"a row late", {}, [](Samples& rows) { rows.time[100] -= 0.5; }, "backward_time", 102, 1, 1},
    {"a row far ahead",
     {},
     [](Samples& rows) { rows.time[100] += 500.0; },
     "backward_time",
     102,
     1,
     1},
    {"a clock set back",
     {},
     [](Samples& rows) {
       for (std::size_t i = 1000; i < rows.size(); ++i) rows.time[i] -= 3600.0;
     },
     "clock_set_back",
     1006,
     1,
     2},
    {"rows lost",
     {},
     [](Samples& rows) {
       for (std::size_t i = 500; i < rows.size(); ++i) rows.time[i] += 2.0;
     },
     "gap",
     502,
     1,
     2},
    {"a hole of two rows",
     {},
     [](Samples& rows) { erase_rows(rows, 500, 502); },
     "missing_rows",
     502,
     1,
     1},
    {"a hole of three rows",
     {},
     [](Samples& rows) { erase_rows(rows, 500, 503); },
     "gap",
     502,
     1,
     2},
    {"at 1 kHz 19 ms are bridged",
     {1000.0, 5.0, 12.0, 1e-3, 1},
     [](Samples& rows) { erase_rows(rows, 500, 518); },
     "missing_rows",
     502,
     1,
     1},
    {"two values missing",
     {},
     [](Samples& rows) { set_z(rows, 700, 702, kNan); },
     "missing_values",
     702,
     2,
     1},
    {"many values missing",
     {},
     [](Samples& rows) { set_z(rows, 700, 720, kNan); },
     "gap",
     722,
     1,
     2},
    {"a moment without a time",
     {},
     [](Samples& rows) { rows.time[100] = kNan; },
     "missing_rows",
     103,
     1,
     1},
    {"the sensor stands still",
     {},
     [](Samples& rows) {
       set_z(rows, 300, 550, 9.81);
       for (std::size_t i = 300; i < 550; ++i) rows.acceleration[0][i] = 0.0;
     },
     "still",
     302,
     1,
     1},
    {"a few peaks clipped",
     {100.0, 20.0, 2.0, 1e-3, 1},
     [](Samples& rows) {
       for (std::size_t i = 0; i < 400; ++i)
         rows.acceleration[2][i] = std::min(rows.acceleration[2][i] + 1.0, 11.7);
     },
     "clipping",
     11,
     0,
     1},
    {"jitter of a tenth",
     {},
     [](Samples& rows) {
       Random random(3);
       for (double& each : rows.time) each += 0.001 * random.normal();
     },
     "jitter",
     0,
     1,
     1},
    {"the rate drifts",
     {200.0, 120.0, 12.0, 1e-3, 1},
     [](Samples& rows) {
       for (double& each : rows.time) each += 2e-4 * each * each;
     },
     "rate_drift",
     0,
     1,
     1},
    {"50 rows a second", {50.0, 20.0, 12.0, 1e-3, 1}, [](Samples&) {}, "low_rate", 0, 1, 1},
    {"times in whole seconds",
     {},
     [](Samples& rows) {
       for (double& each : rows.time) each = std::floor(each + 1e-9);
     },
     "batched_stamps",
     0,
     1,
     1},
    {"times in milliseconds at 400 Hz",
     {400.0, 20.0, 12.0, 1e-3, 1},
     [](Samples& rows) {
       for (double& each : rows.time) each = std::floor(1000.0 * each + 1e-6) / 1000.0;
     },
     "coarse_stamps",
     0,
     1,
     1},
    {"an axis without values",
     {},
     [](Samples& rows) { rows.acceleration[1].assign(rows.size(), kNan); },
     "empty_axis",
     0,
     1,
     1},
};

struct RefusedRow {
  const char* what;
  MadeUp made;
  std::function<void(Samples&)> fault;
  const char* said;  // begins so, with the line in front
};

const RefusedRow kRefusedRows[] = {
    {"no rows", {100.0, 0.0, 12.0, 1e-3, 1}, [](Samples&) {}, "there is no row with a time"},
    {"10 Hz", {10.0, 60.0, 2.0, 1e-3, 1}, [](Samples&) {}, "only 10 rows a second"},
    {"a time in the wrong unit",
     {},
     [](Samples& rows) {
       for (double& each : rows.time) each *= 1e-6;
     },
     "100000000 rows a second"},
    {"time stands still",
     {},
     [](Samples& rows) {
       for (double& each : rows.time) each = 5.0;
     },
     "the time stands still"},
    {"many rows late",
     {},
     [](Samples& rows) {
       for (std::size_t i = 30; i < rows.size(); i += 30) rows.time[i] -= 0.5;
     },
     "32:the time goes back in 66 of 2000 rows"},
    {"overdriven",
     {100.0, 20.0, 2.0, 1e-3, 1},
     [](Samples& rows) {
       for (double& each : rows.acceleration[2]) each = std::min(each, 10.2);
     },
     " of the samples of axis z stand at the end"},
    {"no acceleration",
     {},
     [](Samples& rows) {
       rows.speed = rows.acceleration[2];
       for (std::vector<double>& axis : rows.acceleration) axis.clear();
     },
     "there is no acceleration"},
    {"nowhere a value",
     {},
     [](Samples& rows) {
       set_z(rows, 0, rows.size(), kNan);
       rows.acceleration[0] = rows.acceleration[2];
     },
     "only 0 rows have a time and an acceleration"},
    {"a negative speed",
     {},
     [](Samples& rows) {
       rows.speed.assign(rows.size(), 20.0);
       rows.speed[70] = -3.0;
     },
     "72:a speed of -3 m/s"},
    {"a speed no car has",
     {},
     [](Samples& rows) {
       rows.speed.assign(rows.size(), 20.0);
       rows.speed[70] = 150.0;
     },
     "72:a speed of 150 m/s"},
    {"an engine as a gas turbine",
     {},
     [](Samples& rows) { rows.engine_hz.assign(rows.size(), 1000.0); },
     "2:an engine speed of 60000 rpm"},
    {"a speed that never comes",
     {},
     [](Samples& rows) { rows.speed.assign(rows.size(), kNan); },
     "no moment has both an acceleration and a speed"},
};

std::string said_of(const Problem& refused) {
  return (refused.place.line > 0 ? std::to_string(refused.place.line) + ":" : "") + refused.what;
}

}  // namespace

TEST_CASE("a fault is told with its line, and mended") {
  for (const FaultRow& row : kFaults) {
    INFO(std::string(row.what));
    Samples rows = row.made.rows();
    row.fault(rows);
    const MendedBack back = mended_back(rows);
    CHECK(!back.refused);
    CHECK(back.pieces().size() == row.pieces);
    CHECK(back.rate == doctest::Approx(row.made.rate).epsilon(0.005));
    if (std::string(row.id).empty()) {
      CHECK(back.findings.empty());
      continue;
    }
    const RecordingFinding* const found = back.finding(row.id);
    REQUIRE(found);
    CHECK(found->line == row.line);
    CHECK(found->what.size() > 20);
    if (row.times > 0) CHECK(found->times == row.times);
    CHECK(back.findings.size() <= 3);
  }
}

TEST_CASE("what can't be mended is refused, with its line and what would be right") {
  for (const RefusedRow& row : kRefusedRows) {
    INFO(std::string(row.what));
    Samples rows = row.made.rows();
    row.fault(rows);
    const MendedBack back = mended_back(rows);
    REQUIRE(back.refused);
    INFO(said_of(*back.refused));
    CHECK(said_of(*back.refused).find(row.said) != std::string::npos);
    CHECK(back.refused->right != "");
  }
}

TEST_CASE("even rows come out as they went in, in blocks of 4,096") {
  const Samples rows = MadeUp{1000.0, 20.0, 12.0, 1e-3, 1}.rows();
  const MendedBack back = mended_back(rows);
  CHECK(back.samples() == rows.size());
  std::size_t i = 0;
  for (std::size_t b = 0; b < back.blocks.size(); ++b) {
    const EvenBlock& block = back.blocks[b];
    CHECK(block.goes_on == (b > 0));
    CHECK(block.begin == doctest::Approx(rows.time[i]).epsilon(1e-12));
    if (b + 1 < back.blocks.size()) CHECK(block.size() == kEvenBlock);
    CHECK(block.acceleration[1].empty());
    for (std::size_t j = 0; j < block.size(); ++j, ++i) {
      REQUIRE(block.acceleration[0][j] == rows.acceleration[0][i]);
      REQUIRE(block.acceleration[2][j] == rows.acceleration[2][i]);
    }
  }
}

TEST_CASE("the blocks do not depend on how rows are cut") {
  Samples rows = MadeUp{100.0, 100.0, 12.0, 1e-3, 1}.rows();
  Random random(5);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    rows.time[i] += 0.002 * random.normal() + (i > 6000 ? 7.0 : 0.0);
    rows.speed.push_back(i % 1000 > 800 ? kNan : 20.0 + 0.1 * std::floor(rows.time[i] / 0.7));
    if (random.below(50) == 0) rows.acceleration[0][i] = kNan;
  }
  const MendedBack whole = mended_back(rows, {}, rows.size());
  REQUIRE(!whole.refused);
  CHECK(whole.blocks.size() > 2);
  for (const std::size_t cut : {1u, 7u, 333u, 4095u, 4097u}) {
    const MendedBack parts = mended_back(rows, {}, cut);
    REQUIRE(parts.blocks.size() == whole.blocks.size());
    for (std::size_t b = 0; b < parts.blocks.size(); ++b) {
      CHECK(parts.blocks[b].begin == whole.blocks[b].begin);
      CHECK(parts.blocks[b].goes_on == whole.blocks[b].goes_on);
      CHECK(parts.blocks[b].acceleration == whole.blocks[b].acceleration);
      CHECK(parts.blocks[b].speed == whole.blocks[b].speed);
    }
  }
}

namespace {

// R.m.s. of what the samples differ from the tone by, as a share of its own; it may lag by a time
// that is the same all along.
double tone_error(const MendedBack& back, const MadeUp& made, bool may_lag) {
  const auto squares = [&](double sine, double cosine) {
    std::array<double, 4> sum{};  // with the sine, with the cosine, rest, count
    for (const EvenBlock& block : back.blocks)
      for (std::size_t i = 0; i < block.size(); ++i) {
        const double at =
            2.0 * std::numbers::pi * made.hz * (block.begin + static_cast<double>(i) / block.rate);
        const double rest =
            block.acceleration[2][i] - 9.81 - sine * std::sin(at) - cosine * std::cos(at);
        sum[0] += 2.0 * rest * std::sin(at);
        sum[1] += 2.0 * rest * std::cos(at);
        sum[2] += rest * rest;
        sum[3] += 1.0;
      }
    for (std::size_t k = 0; k < 3; ++k) sum[k] /= sum[3];
    return sum;
  };
  const auto free = squares(0.0, 0.0);
  const double size = std::hypot(free[0], free[1]);
  const auto rest = may_lag ? squares(free[0] / size, free[1] / size) : squares(1.0, 0.0);
  return std::sqrt(rest[2] / 0.5);
}

}  // namespace

TEST_CASE("stamps that are cut to a tick, or shared by a batch, give back the steps between rows") {
  struct StampsRow {
    const char* what;
    double rate;
    std::function<double(double)> stamp;
    double error;  // r.m.s., of a tone of 12 Hz
  };
  const StampsRow rows[] = {
      {"whole seconds, 100.3 Hz", 100.3, [](double t) { return std::floor(t); }, 0.05},
      {"whole seconds, 99.97 Hz", 99.97, [](double t) { return std::floor(t); }, 0.05},
      {"milliseconds, 400 Hz", 400.0, [](double t) { return std::floor(1e3 * t + 1e-9) / 1e3; },
       0.01},
      {"milliseconds, 833 Hz", 833.0, [](double t) { return std::floor(1e3 * t) / 1e3; }, 0.02},
      {"milliseconds, 1500 Hz", 1500.0, [](double t) { return std::floor(1e3 * t) / 1e3; }, 0.02},
      {"hundredths, 250 Hz", 250.0, [](double t) { return std::floor(1e2 * t + 1e-9) / 1e2; },
       0.03},
      {"batches of 25 at 250 Hz", 250.0, [](double t) { return std::ceil(10 * t) / 10 + 0.0137; },
       0.03},
  };
  for (const StampsRow& row : rows) {
    INFO(std::string(row.what));
    const MadeUp made{row.rate, 60.0, 12.0, 1e-3, 1};
    const MendedBack back = mended_back(made.rows([](double t) { return t + 0.0004; }, row.stamp));
    REQUIRE(!back.refused);
    CHECK(back.pieces().size() == 1);
    CHECK(back.rate == doctest::Approx(row.rate).epsilon(3e-4));
    const double error = tone_error(back, made, true);
    CHECK(error < row.error);
  }
}

TEST_CASE("a tone in rows that jitter comes out on even steps within the cubic's error") {
  struct JitterRow {
    double hz, jitter;  // of a rate of 100 Hz; s evenly to both sides
    double error;       // r.m.s. of the tone's own
  };
  const JitterRow rows[] = {{5.0, 0.001, 0.001},
                            {10.0, 0.001, 0.002},
                            {10.0, 0.004, 0.015},
                            {20.0, 0.001, 0.02},
                            {20.0, 0.004, 0.08}};
  for (const JitterRow& row : rows) {
    Random random(4);
    const MadeUp made{100.0, 60.0, row.hz, 1e-3, 1};
    const Samples rows_in =
        made.rows([&](double t) { return t + row.jitter * (2.0 * random.real() - 1.0); },
                  [](double t) { return t; });
    const MendedBack back = mended_back(rows_in);
    REQUIRE(!back.refused);
    const double error = tone_error(back, made, false);
    CHECK(error < row.error);
  }
}
