#include "engine/recording/resampling.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/engine/recording/made_up_drive.h"

using namespace perrev;

namespace {

std::vector<EvenBlock> resampled(const std::vector<EvenBlock>& blocks, double per_metre) {
  std::vector<EvenBlock> out;
  Resampler resampler(Domain::road, per_metre, 3.0,
                      [&](const EvenBlock& block) { out.push_back(block); });
  for (const EvenBlock& block : blocks) resampler.take(block);
  return out;
}

std::vector<double> joined(const std::vector<EvenBlock>& blocks, std::size_t axis) {
  std::vector<double> out;
  for (const EvenBlock& block : blocks)
    out.insert(out.end(), block.acceleration[axis].begin(), block.acceleration[axis].end());
  return out;
}

MadeUp quiet(double from, double to, double rate) {
  MadeUpDrive drive;
  drive.from = from;
  drive.to = to;
  drive.rate = rate;
  drive.level = 0.0;
  MadeUp made = made_up(drive);
  for (auto& axis : made.block.acceleration) std::fill(axis.begin(), axis.end(), 0.0);
  return made;
}

}  // namespace

TEST_CASE("an order is the same sine whatever the speed did; gravity is no ripple") {
  struct {
    double from, to, rate;
  } const rows[] = {{25.0, 25.0, 100.0}, {5.0, 35.0, 1000.0}, {35.0, 8.0, 200.0}};
  for (const auto& row : rows) {
    MadeUp made = quiet(row.from, row.to, row.rate);
    add_tone(made, 0, 1.0, 1.1, made.metres, 0.4);  // 1.1 cycles per metre: 38.5 Hz at 35 m/s
    for (double& value : made.block.acceleration[2]) value = 9.81;
    const auto out = resampled(cut(made.block, 500), 30.0);
    REQUIRE(!out.empty());
    for (const EvenBlock& block : out)
      for (std::size_t i = 0; i < block.size(); ++i) {
        const double metres = block.begin + static_cast<double>(i) / 30.0;
        const double due = std::cos(2.0 * std::numbers::pi * 1.1 * metres + 0.4);
        REQUIRE(std::abs(block.acceleration[0][i] - due) < 5e-4);
        REQUIRE(std::abs(block.acceleration[2][i] - 9.81) < 1e-9);
      }
  }
}

// At 5 m/s and 24 samples to a metre half the rate is 60 Hz: 100 Hz would come back as 20 Hz.
TEST_CASE("what equal steps of road cannot carry at low speed is taken out, not folded") {
  MadeUp made = quiet(5.0, 5.0, 1000.0);
  std::vector<double> time;
  for (std::size_t i = 0; i < made.metres.size(); ++i)
    time.push_back(static_cast<double>(i) / 1000.0);
  add_tone(made, 0, 1.0, 100.0, time);
  for (const double value : joined(resampled(cut(made.block, 4096), 24.0), 0))
    REQUIRE(std::abs(value) < 2e-4);
}

TEST_CASE("cutting the blocks elsewhere changes not one bit") {
  MadeUpDrive drive;
  drive.to = 12.0;
  const EvenBlock whole = made_up(drive).block;
  const auto once = joined(resampled(cut(whole, 100000), 30.0), 2);
  for (const std::size_t rows : {1U, 7U, 333U, 4096U})
    CHECK(joined(resampled(cut(whole, rows), 30.0), 2) == once);
}

TEST_CASE("standing still and not knowing the speed end a stretch") {
  MadeUp made = quiet(20.0, 20.0, 100.0);
  for (std::size_t i = 2000; i < 2500; ++i) made.block.speed[i] = 1.0;
  for (std::size_t i = 4000; i < 4100; ++i) made.block.speed[i] = std::nan("");
  const auto out = resampled(cut(made.block, 1000), 30.0);
  std::size_t stretches = 0;
  double end = -1.0;
  for (const EvenBlock& block : out) {
    if (!block.goes_on) ++stretches;
    if (block.goes_on) CHECK(block.begin == doctest::Approx(end));
    end = block.begin + static_cast<double>(block.size()) / 30.0;
    for (const double speed : block.speed) REQUIRE(speed > 19.9);
  }
  CHECK(stretches == 3);
  // 54 of 60 s at 20 m/s, less what the filter needs at both ends of each stretch.
  CHECK(static_cast<double>(joined(out, 0).size()) / 30.0 == doctest::Approx(1080.0).epsilon(0.02));
}
