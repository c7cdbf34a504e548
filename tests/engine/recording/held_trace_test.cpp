// Speeds that stand in the rows until the next one comes.
#include "engine/recording/held_trace.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "engine/recording/slow_trace.h"
#include "tests/engine/recording/made_up.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

// Rows of 100 Hz in which the speed of each second stands for a second.
Samples held_second(double seconds, const std::function<double(double)>& speed) {
  Samples out = MadeUp{100.0, seconds, 12.0, 1e-3, 1}.rows();
  for (const double time : out.time) out.speed.push_back(speed(std::floor(time + 1e-9)));
  return out;
}

}  // namespace

TEST_CASE("a ramp that is read once a second comes out as a ramp") {
  const Samples rows = held_second(60.0, [](double t) { return 10.0 + 0.5 * t; });
  const MendedBack back = mended_back(rows);
  REQUIRE(!back.refused);
  CHECK(back.samples() == rows.size());
  for (const EvenBlock& block : back.blocks)
    for (std::size_t i = 0; i < block.size(); ++i) {
      const double time = block.begin + static_cast<double>(i) / block.rate;
      // What comes after the last reading is not known.
      CHECK(block.speed[i] == doctest::Approx(10.0 + 0.5 * std::min(time, 59.0)).epsilon(1e-9));
    }
}

TEST_CASE("a speed that stays is held, and then changes within the usual time") {
  HeldTrace trace;
  std::vector<double> out;
  double asked = 0.0;
  const auto speed = [](double t) { return t < 20.0 ? std::floor(t) : t < 40.0 ? 19.0 : 25.0; };
  for (double t = 0.0; t < 60.0; t += 0.01) {
    trace.take(t, speed(t));
    CHECK(t - trace.known_until() < 3.0 + 1e-9);
    for (; asked <= trace.known_until(); asked += 0.01) out.push_back(trace.at(asked));
  }
  const auto near = [&](double t) { return out[static_cast<std::size_t>(100.0 * t + 0.5)]; };
  CHECK(near(10.5) == doctest::Approx(10.5).epsilon(1e-3));
  CHECK(near(30.0) == doctest::Approx(19.0));
  CHECK(near(38.9) == doctest::Approx(19.0));
  CHECK(near(39.5) == doctest::Approx(22.0).epsilon(0.01));
  CHECK(near(40.5) == doctest::Approx(25.0));
}

TEST_CASE("a speed in every row is taken as it is") {
  HeldTrace trace;
  for (int i = 0; i < 1000; ++i) trace.take(0.01 * i, 20.0 + std::sin(0.01 * i));
  trace.close();
  for (int i = 0; i < 1000; ++i) CHECK(trace.at(0.01 * i) == 20.0 + std::sin(0.01 * i));
}

TEST_CASE("five seconds without a speed are bridged, more are left out") {
  for (const double hole : {1.0, 4.9, 5.1, 30.0}) {
    INFO(hole);
    Samples rows = held_second(100.0, [](double t) { return 10.0 + 0.1 * t; });
    for (std::size_t i = 0; i < rows.size(); ++i)
      if (rows.time[i] > 50.0 && rows.time[i] < 50.0 + hole) rows.speed[i] = kNan;
    const MendedBack back = mended_back(rows);
    REQUIRE(!back.refused);
    const bool bridged = hole < 5.0;
    CHECK(back.pieces().size() == (bridged ? 1 : 2));
    CHECK((back.finding("no_speed") == nullptr) == bridged);
    CHECK(static_cast<double>(back.samples()) ==
          doctest::Approx(10'000.0 - (bridged ? 0.0 : 100.0 * hole)).epsilon(1e-3));
    for (const EvenBlock& block : back.blocks)
      for (std::size_t i = 0; i < block.size(); ++i) {
        const double time = block.begin + static_cast<double>(i) / block.rate;
        CHECK(std::fabs(block.speed[i] - (10.0 + 0.1 * std::min(time, 99.0))) < 0.11);
      }
  }
}

TEST_CASE("a speed only at the moments it was read is joined by lines") {
  Samples rows = held_second(30.0, [](double t) { return 20.0 + t; });
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (i % 100 != 0) rows.speed[i] = kNan;
  const MendedBack back = mended_back(rows);
  REQUIRE(!back.refused);
  CHECK(back.samples() == rows.size());
  CHECK(back.blocks[0].speed[1250] == doctest::Approx(32.5).epsilon(1e-6));
}

TEST_CASE("a speed given by hand or recorded apart takes the place of the file's") {
  const MadeUp made{100.0, 40.0, 12.0, 1e-3, 1};
  Samples rows = made.rows();
  TimelineOptions options;
  options.constant_speed = 25.0;
  options.constant_engine_hz = 30.0;
  MendedBack back = mended_back(rows, options);
  REQUIRE(!back.refused);
  CHECK(back.findings.empty());
  CHECK(back.blocks[0].speed == std::vector<double>(back.blocks[0].size(), 25.0));
  CHECK(back.blocks[0].engine_hz == std::vector<double>(back.blocks[0].size(), 30.0));
  rows.speed.assign(rows.size(), 10.0);
  back = mended_back(rows, options);
  CHECK(back.blocks[0].speed[0] == 25.0);
  CHECK(back.finding("speed_by_hand") != nullptr);

  // Its clock begins 1,000 s later; it covers the recording from 5 s to 35 s.
  SlowTrace apart(SlowTrace::Of::speed);
  Samples slow;
  for (int i = 0; i <= 30; ++i) {
    slow.time.push_back(1005.0 + i);
    slow.speed.push_back(20.0 + 0.2 * i);
  }
  CHECK(!apart.take(slow));
  CHECK(!apart.finish());
  options = {};
  options.speed = &apart;
  options.offset = -1000.0;
  back = mended_back(made.rows(), options);
  REQUIRE(!back.refused);
  CHECK(back.finding("no_speed") != nullptr);
  REQUIRE(back.pieces().size() == 1);
  CHECK(back.pieces()[0].begin == doctest::Approx(5.0));
  CHECK(back.blocks[0].speed[1050] == doctest::Approx(20.0 + 0.2 * 10.5).epsilon(1e-6));
}

namespace {

Samples slow_rows(const std::vector<double>& times) {
  Samples out;
  out.first_line = 2;
  for (const double time : times) {
    out.time.push_back(time);
    out.speed.push_back(20.0 + 0.01 * static_cast<double>(out.speed.size()));
  }
  return out;
}

}  // namespace

TEST_CASE("a trace apart: what it refuses, and that it stays small") {
  SlowTrace engine(SlowTrace::Of::engine);
  Samples rows;
  rows.first_line = 2;
  for (int i = 0; i < 5; ++i) {
    rows.time.push_back(i);
    rows.engine_hz.push_back(i < 3 ? 30.0 : 900.0);
  }
  const auto wrong = engine.take(rows);
  REQUIRE(wrong);
  CHECK(wrong->place.line == 5);
  SlowTrace none(SlowTrace::Of::speed);
  CHECK(!none.take(rows));
  CHECK(none.finish());
}

TEST_CASE("a clock of speeds apart that is set back is refused, where it is first") {
  for (const double by : {3.0, 30.0, 3600.0}) {
    std::vector<double> times;
    for (int i = 0; i < 4000; ++i) times.push_back(i < 3900 ? i : i - by);
    SlowTrace apart(SlowTrace::Of::speed);
    const auto refused = apart.take(slow_rows(times));
    REQUIRE(refused);
    CHECK(refused->place.line == 3902);
    CHECK(refused->what.find("the clock of the speed goes back") != std::string::npos);
  }
}

TEST_CASE("single rows of speeds apart that are late or leap are left out, and told") {
  for (const double by : {-2.5, 700.0}) {
    std::vector<double> times;
    for (int i = 0; i < 400; ++i) times.push_back(i == 200 ? i + by : i);
    SlowTrace apart(SlowTrace::Of::speed);
    CHECK(!apart.take(slow_rows(times)));
    CHECK(!apart.finish());
    REQUIRE(apart.findings().size() == 1);
    CHECK(apart.findings()[0].id == "backward_time");
    HeldTrace trace = apart.shifted(0.0);
    CHECK(trace.at(201.0) == doctest::Approx(22.01).epsilon(1e-6));
    CHECK(trace.at(300.0) == doctest::Approx(23.0).epsilon(1e-6));
  }
}

TEST_CASE("a recording whose clock is set back has no place for speeds apart") {
  SlowTrace apart(SlowTrace::Of::speed);
  std::vector<double> times;
  for (int i = 0; i < 60; ++i) times.push_back(i);
  CHECK(!apart.take(slow_rows(times)));
  TimelineOptions options;
  options.speed = &apart;
  Samples rows = MadeUp{100.0, 40.0, 12.0, 1e-3, 1}.rows();
  CHECK(!mended_back(rows, options).refused);
  for (std::size_t i = 2000; i < rows.size(); ++i) rows.time[i] -= 10.0;
  CHECK(!mended_back(rows).refused);
  const MendedBack back = mended_back(rows, options);
  REQUIRE(back.refused);
  CHECK(back.refused->what.find("the clock goes back") != std::string::npos);
  CHECK(back.refused->place.line == 2006);
}
