// What stands out in a recording, held against a vehicle of known ratios.
//
// The rolling circumference of 225/60R16 is 3.05 times its diameter (ETRTO's rule for radial car
// tires): 2.06 m. Lines are put where arithmetic has them, never where the code under test does.
#include "engine/providers/recorded_lines.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/engine/bench/shipped_simulator.h"

using namespace perrev;
using perrev::testing::shipped_rules;

namespace {

constexpr double kSpeed = 27.0;     // m/s
constexpr double kEngineHz = 36.0;  // 2,160 rpm

VehicleFacts known_vehicle() {
  VehicleFacts out;
  out.front_tire = out.rear_tire = parse_tire("225/60R16").value();
  out.driven_axle = DrivenAxle::rear;
  out.axle_ratio = 3.46;
  out.cylinders = 4;
  return out;
}

double wheel_turns() {  // in a metre
  return 1.0 / rolling_circumference(*known_vehicle().front_tire, {}).mean;
}

FoundLine line_in(Domain domain, double at, double db, double amplitude = 0.2) {
  FoundLine out;
  out.domain = domain;
  out.at = at;
  out.sd = 1e-4 * at;
  out.amplitude = {0.0, 0.0, amplitude};
  out.over_floor_db = db;
  return out;
}

Analysis drive(std::vector<FoundLine> lines, double range = 0.0) {
  Analysis out;
  out.seconds = 60.0;
  out.metres = 60.0 * kSpeed;
  out.engine_turns = 60.0 * kEngineHz;
  out.lowest_speed = kSpeed * (1.0 - range);
  out.highest_speed = kSpeed * (1.0 + range);
  for (const Domain domain : {Domain::time, Domain::road, Domain::engine}) {
    Spectrum spectrum;
    spectrum.domain = domain;
    spectrum.bandwidth = domain == Domain::time ? 0.3 : domain == Domain::road ? 0.012 : 0.009;
    out.spectra.push_back(spectrum);
  }
  out.lines = std::move(lines);
  return out;
}

RecordedLines lines_of(const Analysis& analysis, const VehicleFacts& vehicle = known_vehicle()) {
  return recorded_lines(shipped_rules(), vehicle, UsualTurns{}, analysis, SpeedSource::gps);
}

std::string first_of(const RecordedLines& lines) {
  REQUIRE(!lines.vibrations.empty());
  REQUIRE(!lines.vibrations.front().meanings.empty());
  return lines.vibrations.front().meanings.front().about();
}

}  // namespace

TEST_CASE("a line is what turns so fast, with the circumference off by up to 3 %") {
  struct Row {
    const char* about;
    double per_wheel_turn;
  };
  for (const Row& row :
       {Row{"tire order 1", 1.0}, Row{"tire order 2", 2.0}, Row{"tire order 3", 3.0},
        Row{"driveshaft order 1", 3.46}, Row{"driveshaft order 2", 6.92}})
    for (const double off : {0.97, 0.985, 1.0, 1.015, 1.03}) {
      CAPTURE(row.about);
      CAPTURE(off);
      const double at = off * row.per_wheel_turn * wheel_turns();
      const RecordedLines found = lines_of(drive({line_in(Domain::road, at, 15.0)}, 0.15));
      CHECK(first_of(found) == row.about);
      CHECK(found.vibrations.front().hz == doctest::Approx(at * kSpeed));
    }
}

TEST_CASE("probabilities of all meanings and of anything else sum to one") {
  for (const double orders : {0.4, 1.0, 1.6, 2.01, 3.46, 4.0, 7.7}) {
    const RecordedLines found =
        lines_of(drive({line_in(Domain::road, orders * wheel_turns(), 9.0)}));
    double sum = found.vibrations.front().unexplained;
    for (const RecordedMeaning& meaning : found.vibrations.front().meanings)
      sum += meaning.probability;
    CHECK(sum == doctest::Approx(1.0).epsilon(0.02));  // those below 1 in 1,000 are left out
    CHECK(sum <= 1.0 + 1e-12);
  }
}

TEST_CASE("what no part turns at is anything else") {
  const RecordedLines found =
      lines_of(drive({line_in(Domain::road, 1.5 * wheel_turns(), 12.0)}, 0.2));
  CHECK(found.vibrations.front().unexplained > 0.5);
}

TEST_CASE("two lines settle the circumference that they share") {
  const double off = 1.02;  // more turns in a metre: a smaller tire
  const double size = 1.0 / wheel_turns();
  const RecordedLines found =
      lines_of(drive({line_in(Domain::road, off * wheel_turns(), 20.0),
                      line_in(Domain::road, off * 3.46 * wheel_turns(), 15.0, 0.1)},
                     0.15));
  REQUIRE(found.vibrations.size() == 2);
  REQUIRE(found.circumference);
  CHECK(found.circumference->mean == doctest::Approx(size / off).epsilon(0.003));
  CHECK(found.circumference->sd < 0.01 * size);
  // The dash's own error is part of what is then shared: no circumference comes out of it.
  const Analysis analysis = drive({line_in(Domain::road, off * wheel_turns(), 20.0)}, 0.15);
  CHECK_FALSE(recorded_lines(shipped_rules(), known_vehicle(), UsualTurns{}, analysis,
                             SpeedSource::speedometer)
                  .circumference);
}

TEST_CASE("at a steady speed in one gear road and engine may mean the same, and it is said") {
  // The engine's first order and the tire's third fall together here.
  const double hz = 3.0 * wheel_turns() * kSpeed;
  const double engine_at = 1.0;
  Analysis analysis =
      drive({line_in(Domain::road, hz / kSpeed, 14.0), line_in(Domain::engine, engine_at, 14.0),
             line_in(Domain::time, hz, 14.0)});
  analysis.engine_turns = 60.0 * hz;
  const RecordedLines alike = lines_of(analysis);
  REQUIRE(alike.vibrations.size() == 1);
  CHECK(alike.vibrations.front().also.size() == 2);
  const auto probability = [](const RecordedLines& lines, const char* source) {
    double sum = 0.0;
    for (const RecordedMeaning& meaning : lines.vibrations.front().meanings)
      if (meaning.source == source) sum += meaning.probability;
    return sum;
  };
  CHECK(probability(alike, "tire") > 0.02);
  CHECK(probability(alike, "engine") > 0.02);
  // Once it stands out more against one of them, that one it is.
  analysis.lines[0].over_floor_db = 22.0;
  CHECK(probability(lines_of(analysis), "tire") > 0.85);
  analysis.lines[0].over_floor_db = 8.0;
  CHECK(probability(lines_of(analysis), "engine") > 0.85);
}

TEST_CASE("the smear of a line in another domain is no vibration of its own") {
  const double at = wheel_turns();
  const RecordedLines found = lines_of(
      drive({line_in(Domain::road, at, 20.0), line_in(Domain::time, 0.93 * at * kSpeed, 7.0),
             line_in(Domain::time, 1.08 * at * kSpeed, 6.0)},
            0.15));
  CHECK(found.vibrations.size() == 1);
  CHECK(first_of(found) == "tire order 1");
}

TEST_CASE("the order in which lines come means nothing, and none gives none") {
  std::vector<FoundLine> lines = {line_in(Domain::road, wheel_turns(), 20.0),
                                  line_in(Domain::road, 2.0 * wheel_turns(), 11.0, 0.1),
                                  line_in(Domain::engine, 2.0, 13.0, 0.05)};
  const RecordedLines one = lines_of(drive(lines, 0.1));
  std::reverse(lines.begin(), lines.end());
  const RecordedLines other = lines_of(drive(lines, 0.1));
  REQUIRE(one.vibrations.size() == 3);
  REQUIRE(other.vibrations.size() == 3);
  for (std::size_t v = 0; v < 3; ++v)
    CHECK(one.vibrations[v].line.at == other.vibrations[v].line.at);
  CHECK(lines_of(drive({})).vibrations.empty());
}

TEST_CASE("an axle ratio that nobody looked up leaves the driveshaft open, and that is told") {
  VehicleFacts vehicle = known_vehicle();
  vehicle.axle_ratio.reset();
  const RecordedLines found =
      lines_of(drive({line_in(Domain::road, 3.9 * wheel_turns(), 15.0)}, 0.15), vehicle);
  const auto& meanings = found.vibrations.front().meanings;
  const auto shaft = std::find_if(meanings.begin(), meanings.end(), [](const RecordedMeaning& one) {
    return one.source == "driveshaft" && one.order == 1.0;
  });
  REQUIRE(shaft != meanings.end());
  CHECK(shaft->usual);
  CHECK(shaft->probability > 0.1);
}

TEST_CASE("what is felt most comes first: a fast line counts less than a slow one of its size") {
  // ISO 2631-1's Wk at 13 Hz is 0.88, at 90 Hz 0.11.
  const RecordedLines found =
      lines_of(drive({line_in(Domain::road, 6.92 * wheel_turns(), 25.0, 0.2),
                      line_in(Domain::road, wheel_turns(), 15.0, 0.2)},
                     0.15));
  REQUIRE(found.vibrations.size() == 2);
  CHECK(first_of(found) == "tire order 1");
  CHECK(found.vibrations[0].amplitude == doctest::Approx(found.vibrations[1].amplitude));
}
