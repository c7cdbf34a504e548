// Severity: weighted r.m.s. against the standards' factors, and the laws of its meter.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "engine/random.h"
#include "engine/recording/severity_meter.h"
#include "engine/recording/weighting_filter.h"
#include "tests/engine/recording/made_up_drive.h"

using namespace perrev;

namespace {

std::vector<double> sine(double hz, double rms, double rate, double seconds, double offset = 0.0) {
  std::vector<double> out(static_cast<std::size_t>(seconds * rate));
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = offset + rms * std::numbers::sqrt2 *
                          std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(i) / rate);
  return out;
}

EvenBlock block_of(double rate, std::array<std::vector<double>, kAxes> axes) {
  EvenBlock out;
  out.rate = rate;
  out.acceleration = std::move(axes);
  return out;
}

EvenBlock upright(double rate, std::vector<double> z) {
  EvenBlock out;
  out.rate = rate;
  out.acceleration[2] = std::move(z);
  return out;
}

EvenBlock noise(double rate, double seconds, std::uint64_t seed) {
  Random random(seed);
  EvenBlock out;
  out.rate = rate;
  const auto count = static_cast<std::size_t>(seconds * rate);
  for (std::vector<double>& axis : out.acceleration)
    for (std::size_t i = 0; i < count; ++i) axis.push_back(random.normal());
  for (std::size_t i = 0; i < count; ++i)
    out.speed.push_back(20.0 + static_cast<double>(i) / rate / 10.0);
  return out;
}

Severity measured(const std::vector<EvenBlock>& blocks) {
  SeverityMeter meter;
  for (const EvenBlock& block : blocks) meter.take(block);
  return meter.finish();
}

void check_same(const Severity& a, const Severity& b) {
  for (std::size_t axis = 0; axis < kAxes; ++axis) CHECK(a.weighted[axis] == b.weighted[axis]);
  CHECK(a.total == b.total);
  CHECK(a.highest_running == b.highest_running);
  CHECK(a.dose == b.dose);
  CHECK(a.crest == b.crest);
  CHECK(a.seconds == b.seconds);
  CHECK(a.running == b.running);
  CHECK(a.running_speed == b.running_speed);
}

}  // namespace

TEST_CASE("a sine weighs what the standards say, at every rate") {
  struct Row {
    double hz, z, xy;
  };
  // At 15.915 Hz: reference points of ISO 8041. The rest: ISO 2631-1:1997 table 3, 3 digits.
  const Row rows[] = {{100.0 / (2.0 * std::numbers::pi), 0.7718, 0.1261},
                      {0.5, 0.418, 0.853},
                      {1.0, 0.482, 1.011},
                      {6.3, 1.054, 0.323},
                      {40.0, 0.314, 0.0494}};
  for (const double rate : {100.0, 128.0, 333.3, 1000.0, 2000.0}) {
    for (const Row& row : rows) {
      CAPTURE(rate);
      CAPTURE(row.hz);
      // Whole periods after the settling: r.m.s. is exact then.
      const auto axis = sine(row.hz, 2.0, rate, kSettling + 36.0, 9.81);
      const Severity found = measured({block_of(rate, {axis, axis, axis})});
      CHECK(found.weighted[2] / 2.0 == doctest::Approx(row.z).epsilon(0.005));
      CHECK(found.weighted[0] / 2.0 == doctest::Approx(row.xy).epsilon(0.005));
      CHECK(found.weighted[1] == found.weighted[0]);
      // And much nearer to the formula.
      CHECK(found.weighted[2] / 2.0 ==
            doctest::Approx(weighting_gain(Weighting::wk, row.hz)).epsilon(0.001));
    }
  }
}

TEST_CASE("of a steady sine all figures follow from its r.m.s.") {
  const double rate = 500.0;
  const Severity found = measured({upright(rate, sine(8.0, 1.0, rate, kSettling + 30.0))});
  const double rms = weighting_gain(Weighting::wk, 8.0);
  // By hand: crest factor of a sine is root two; the mean of sin^4 is 3/8, of the squares 1/2.
  CHECK(found.total == doctest::Approx(rms).epsilon(1e-4));
  CHECK(found.total == found.weighted[2]);
  CHECK(found.weighted[0] == 0.0);
  CHECK(found.highest_running == doctest::Approx(rms).epsilon(2e-3));
  CHECK(found.crest == doctest::Approx(std::numbers::sqrt2).epsilon(2e-3));
  CHECK(found.dose == doctest::Approx(rms * std::pow(1.5 * 30.0, 0.25)).epsilon(1e-3));
  CHECK(found.seconds == doctest::Approx(30.0));
  REQUIRE(found.running.size() == 30);
  CHECK(found.running_step == 1.0);
  for (const double each : found.running) CHECK(each == doctest::Approx(rms).epsilon(2e-3));
  CHECK(found.running_speed.empty());
}

TEST_CASE("blocks may be cut anywhere") {
  const EvenBlock whole = noise(200.0, 75.0, 5);
  const Severity once = measured({whole});
  Random random(9);
  std::vector<EvenBlock> parts;
  for (std::size_t at = 0; at < whole.size();) {
    const std::size_t end = std::min(whole.size(), at + 1 + random.below(3000));
    parts.push_back(part_of(whole, at, end));
    at = end;
  }
  REQUIRE(parts.size() > 5);
  check_same(measured(parts), once);
  // 71 whole seconds; the speed rises by 0.1 m/s each, from 20.4 m/s on.
  REQUIRE(once.running_speed.size() == 71);
  CHECK(once.running_speed.front() == doctest::Approx(20.45).epsilon(1e-4));
  CHECK(once.running_speed.back() == doctest::Approx(27.45).epsilon(1e-4));
}

TEST_CASE("a gap begins anew: two stretches together are what each is alone") {
  const double rate = 200.0;
  const EvenBlock whole = noise(rate, 100.0, 6);
  const std::size_t cut = 30 * 200;
  EvenBlock first = part_of(whole, 0, cut), second = part_of(whole, cut, whole.size());
  second.goes_on = false;
  const Severity both = measured({first, second});
  const Severity one = measured({first}), two = measured({second});
  CHECK(both.seconds == doctest::Approx(100.0 - 2.0 * kSettling));
  CHECK(both.highest_running == std::max(one.highest_running, two.highest_running));
  for (std::size_t axis = 0; axis < kAxes; ++axis) {
    const double squares = one.seconds * one.weighted[axis] * one.weighted[axis] +
                           two.seconds * two.weighted[axis] * two.weighted[axis];
    CHECK(both.weighted[axis] == doctest::Approx(std::sqrt(squares / both.seconds)));
  }
}

TEST_CASE("stretches too short to settle count for nothing, and disturb nothing") {
  const EvenBlock whole = noise(200.0, 60.0, 7);
  std::vector<EvenBlock> parts;
  for (std::size_t i = 0; i < 5; ++i) {
    parts.push_back(part_of(whole, i * 700, (i + 1) * 700));
    parts.back().goes_on = false;
  }
  parts.push_back(part_of(whole, 3500, whole.size()));
  parts.back().goes_on = false;
  check_same(measured(parts), measured({parts.back()}));
}

TEST_CASE("how the recorder lies does not shake: gravity and a slope weigh nothing") {
  const double rate = 100.0;
  const auto count = static_cast<std::size_t>(60.0 * rate);
  std::vector<double> still(count, 9.81), sloping(count);
  for (std::size_t i = 0; i < count; ++i) sloping[i] = 0.01 * static_cast<double>(i) / rate;
  const Severity found = measured({block_of(rate, {sloping, {}, still})});
  CHECK(found.weighted[2] < 1e-9);
  CHECK(found.weighted[0] < 1e-3);
}

TEST_CASE("one bump shows in the running value and the crest factor, not in the mean") {
  const double rate = 500.0;
  std::vector<double> axis = sine(5.0, 0.1, rate, 120.0);
  const auto bump = sine(5.0, 2.0, rate, 1.0);
  for (std::size_t i = 0; i < bump.size(); ++i) axis[30000 + i] += bump[i];
  const Severity found = measured({upright(rate, axis)});
  CHECK(found.crest > 9.0);  // where ISO 2631-1, 6.2.1 asks for MTVV or VDV
  CHECK(found.highest_running > 8.0 * found.total);
  // 6.3.3: those matter where MTVV / r.m.s. exceeds 1.5, and VDV / (r.m.s. T^1/4) 1.75.
  CHECK(found.dose / (found.total * std::pow(found.seconds, 0.25)) > 1.75);
}

TEST_CASE("a long recording keeps 3,600 steps at most, whose mean square is the total's") {
  const double rate = 20.0;
  SeverityMeter meter;
  EvenBlock block = noise(rate, 1000.0, 8);
  for (int i = 0; i < 9; ++i) {
    meter.take(block);
    block.goes_on = true;
  }
  const Severity found = meter.finish();
  REQUIRE((found.running.size() <= 3600 && found.running.size() > 1799));
  CHECK(found.running_step == 4.0);
  CHECK(found.running_speed.size() == found.running.size());
  double squares = 0.0;
  for (const double each : found.running)
    squares += each * each / static_cast<double>(found.running.size());
  CHECK(std::sqrt(squares) == doctest::Approx(found.total).epsilon(1e-3));
}

TEST_CASE("too little to settle gives no figures") {
  CHECK(measured({}).seconds == 0.0);
  CHECK(measured({EvenBlock{}}).seconds == 0.0);
  const Severity found = measured({noise(100.0, 3.5, 1)});
  CHECK((found.seconds == 0.0 && found.total == 0.0 && found.running.empty()));
  const Severity half = measured({noise(100.0, kSettling + 0.5, 1)});
  CHECK((half.total > 0.0 && half.highest_running == 0.0 && half.running.empty()));
}

TEST_CASE("comfort words overlap as those of the standard do") {
  struct Row {
    double total;
    const char* words;
  };
  // ISO 2631-1:1997, C.2.3: up to 0.315, 0.315..0.63, 0.5..1, 0.8..1.6, 1.25..2.5, above 2 m/s2.
  const Row rows[] = {{0.0, "not uncomfortable"},
                      {0.314, "not uncomfortable"},
                      {0.315, "a little uncomfortable"},
                      {0.49, "a little uncomfortable"},
                      {0.5, "a little to fairly uncomfortable"},
                      {0.63, "a little to fairly uncomfortable"},
                      {0.64, "fairly uncomfortable"},
                      {0.8, "fairly uncomfortable to uncomfortable"},
                      {1.0, "fairly uncomfortable to uncomfortable"},
                      {1.1, "uncomfortable"},
                      {1.25, "uncomfortable to very uncomfortable"},
                      {1.6, "uncomfortable to very uncomfortable"},
                      {1.8, "very uncomfortable"},
                      {2.1, "very to extremely uncomfortable"},
                      {2.6, "extremely uncomfortable"},
                      {std::numeric_limits<double>::infinity(), "extremely uncomfortable"},
                      {std::numeric_limits<double>::quiet_NaN(), ""}};
  for (const Row& row : rows) {
    CAPTURE(row.total);
    CHECK(std::string(comfort_of(row.total)) == row.words);
  }
}
