// Faults of a recording that are mended, each told with its line.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
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
    {"the first row far ahead",
     {},
     [](Samples& rows) { rows.time[0] += 500.0; },
     "clock_set_back",
     7,
     1,
     1},
    {"the second row far ahead",
     {},
     [](Samples& rows) { rows.time[1] += 500.0; },
     "backward_time",
     3,
     1,
     1},
    {"a clock set back in its first rows",
     {},
     [](Samples& rows) {
       for (std::size_t i = 0; i < 3; ++i) rows.time[i] += 5000.0;
     },
     "clock_set_back",
     9,
     1,
     1},
    {"whole seconds, the clock set back",
     {},
     [](Samples& rows) {
       for (std::size_t i = 0; i < rows.size(); ++i)
         rows.time[i] = std::floor(rows.time[i] + 1e-9) - (i < 1000 ? 0.0 : 3600.0);
     },
     "clock_set_back",
     1402,
     1,
     2},
    {"a row far ahead after the clock was set back",
     {},
     [](Samples& rows) {
       for (std::size_t i = 1000; i < rows.size(); ++i) rows.time[i] -= 3600.0;
       rows.time[1500] += 500.0;
     },
     "clock_set_back",
     1006,
     1,
     2},
    {"an acceleration no ride has",
     {},
     [](Samples& rows) { rows.acceleration[2][700] = 32768.0; },
     "impossible",
     702,
     1,
     1},
    {"an axis that is dead",
     {},
     [](Samples& rows) { rows.acceleration[1].assign(rows.size(), 0.0); },
     "dead_axis",
     0,
     1,
     1},
    {"a drive that never was",
     {},
     [](Samples& rows) { rows.speed.assign(rows.size(), 0.0); },
     "no_drive",
     0,
     1,
     1},
    {"no piece that is long enough",
     {},
     [](Samples& rows) {
       for (std::size_t i = 0; i < rows.size(); ++i)
         rows.time[i] += 2.0 * static_cast<double>(i / 390);
     },
     "too_short",
     0,
     1,
     6},
    {"an engine that never turned",
     {},
     [](Samples& rows) { rows.engine_hz.assign(rows.size(), 0.0); },
     "engine_off",
     0,
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
