// Faults of a recording that nothing mends: refused, with the line and what would be right.
#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <string>

#include "tests/engine/recording/made_up.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

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
    {"the last row first",
     {},
     [](Samples& rows) { std::reverse(rows.time.begin(), rows.time.end()); },
     " % of the first rows"},
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
