// Two recorders on one drive, their clocks set apart: the offset is found again, or not told.
#include "engine/recording/clock_offset.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "engine/random.h"

using namespace perrev;

namespace {

struct DriveMade {
  double seconds = 180.0;
  double change = 0.8;  // m/s2 of what the driver does, r.m.s. or so
  double road = 1.5;    // m/s2 r.m.s. of the road, each sample
  double grade = 0.2;   // m/s2 r.m.s. of hills, over a minute or so
  double period = 0.0;  // s; the driver does the same over and over; 0: as it comes
  double offset = 0.0;  // s, of the accelerations' clock against that of the speed
  double speed_from = 0.0, speed_to = 1e9;  // s of the drive in which the speed is recorded
};

struct DriveRecorded {
  MeanMotion motion;
  SlowTrace speed{SlowTrace::Of::speed};
};

DriveRecorded drive(const DriveMade& made, std::uint64_t seed) {
  Random random(seed);
  // What the driver does: a value every 4 s, joined by lines.
  std::vector<double> pedal;
  for (int i = 0; i < 1000; ++i) pedal.push_back(made.change * random.normal());
  const auto asked = [&](double t) {
    if (made.period > 0.0) return made.change * std::sin(2.0 * std::numbers::pi * t / made.period);
    const double at = t / 4.0;
    const std::size_t i = static_cast<std::size_t>(at);
    return pedal[i] + (at - static_cast<double>(i)) * (pedal[i + 1] - pedal[i]);
  };
  // How the recorder lies.
  const double turn = 2.0 * std::numbers::pi * random.real(), tilt = 0.6 * random.normal();
  const double hill_phase = 6.0 * random.real();
  DriveRecorded out;
  Samples rows, slow;
  double speed = 25.0, next_fix = std::max(0.3, made.speed_from);
  const double step = 0.01;
  for (double t = 0.0; t < made.seconds; t += step) {
    const double wish = asked(t);
    const double change =
        (speed < 8.0 && wish < 0.0) || (speed > 45.0 && wish > 0.0) ? -wish : wish;
    speed += step * change;
    const double hill = made.grade * std::sqrt(2.0) * std::sin(0.09 * t + hill_phase);
    const double ahead = change + hill + made.road * random.normal();
    const double left = made.road * random.normal(), up = 9.81 + made.road * random.normal();
    const double x = ahead * std::cos(turn) + left * std::sin(turn);
    const double y = left * std::cos(turn) - ahead * std::sin(turn);
    rows.time.push_back(t + made.offset);
    rows.acceleration[0].push_back(x * std::cos(tilt) + up * std::sin(tilt));
    rows.acceleration[1].push_back(y);
    rows.acceleration[2].push_back(up * std::cos(tilt) - x * std::sin(tilt));
    if (t < next_fix || t > made.speed_to) continue;
    next_fix += 1.0;
    slow.time.push_back(t);
    slow.speed.push_back(std::max(0.0, speed + 0.05 * random.normal()));
  }
  out.motion.take(rows);
  CHECK(!out.speed.take(slow));
  return out;
}

}  // namespace

TEST_CASE("the offset between two clocks is found again, within its interval in 95 of 100") {
  int found = 0, within = 0, drives = 0;
  double squares = 0.0, widest = 0.0;
  for (const double offset : {0.0, 3.7, -12.25, 1000.0, 1.7e9, -40.0})
    for (std::uint64_t seed = 1; seed <= 35; ++seed) {
      DriveMade made;
      made.offset = offset;
      made.seconds = seed % 2 ? 180.0 : 600.0;
      if (seed % 3 == 0) made.speed_from = 35.0;
      if (seed % 5 == 0) made.speed_to = made.seconds - 50.0;
      const DriveRecorded recorded = drive(made, seed);
      const auto told = estimate_clock_offset(recorded.motion, recorded.speed);
      ++drives;
      if (!told) continue;
      ++found;
      CHECK(std::fabs(told->seconds - offset) < 1.0);
      within += told->low <= offset && offset <= told->high;
      squares += std::pow(told->seconds - offset, 2);
      widest = std::max(widest, told->high - told->low);
    }
  INFO(drives, " drives, ", found, " told, ", within, " within, r.m.s. ",
       std::sqrt(squares / found), " s, widest ", widest);
  CHECK(found > 0.9 * drives);
  CHECK(within >= 0.93 * found);
}

TEST_CASE("nothing is told where the data do not allow it") {
  struct NotTold {
    const char* why;
    DriveMade made;
  };
  DriveMade steady, other, over_and_over, brief;
  steady.change = 0.02;
  other.change = 0.15;
  other.road = 30.0;
  over_and_over.period = 20.0;
  brief.seconds = 25.0;
  for (const NotTold& row :
       {NotTold{"a steady speed", steady}, NotTold{"lost in the road", other},
        NotTold{"the same over and over", over_and_over}, NotTold{"too short", brief}})
    for (std::uint64_t seed = 1; seed <= 15; ++seed) {
      INFO(std::string(row.why), " ", seed);
      const DriveRecorded recorded = drive(row.made, seed);
      const auto told = estimate_clock_offset(recorded.motion, recorded.speed);
      INFO((told ? told->seconds : 0.0), " ", (told ? told->explained : 0.0));
      CHECK(!told);
    }
}

TEST_CASE("two drives that have nothing to do with each other have no offset") {
  int told = 0;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const DriveRecorded one = drive({}, seed), another = drive({}, 1000 + seed);
    told += estimate_clock_offset(one.motion, another.speed).has_value();
  }
  INFO(told, " of 100");
  CHECK(told <= 1);
}
