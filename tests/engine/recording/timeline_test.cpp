// Rows on their line of time, whatever way they come.
#include "engine/recording/timeline.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "tests/engine/recording/made_up.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

}  // namespace

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

TEST_CASE("rows that lack a value do not make even times coarse") {
  Samples rows = MadeUp{}.rows();
  Random random(6);
  std::size_t lacking = 0;
  for (double& each : rows.acceleration[2])
    if (random.below(30) == 0) {
      each = kNan;
      ++lacking;
    }
  const MendedBack back = mended_back(rows);
  REQUIRE(!back.refused);
  CHECK(back.rate == doctest::Approx(100.0).epsilon(1e-6));
  CHECK(back.finding("coarse_stamps") == nullptr);
  REQUIRE(back.finding("missing_values"));
  CHECK(back.finding("missing_values")->times == lacking);
}

TEST_CASE("speeds in rows of their own stay with the accelerations around them") {
  // Every other row has the speed alone; the clock is set back, and one such row leaps.
  Samples rows;
  rows.first_line = 2;
  const MadeUp made;
  for (int i = 0; i < 4000; ++i) {
    const double time = 0.005 * i;
    const bool speed = i % 2 == 1;
    rows.time.push_back(time - (i < 2000 ? 0.0 : 900.0) + (i == 2501 ? 5000.0 : 0.0));
    rows.acceleration[2].push_back(speed ? kNan : made.z(time));
    rows.speed.push_back(speed ? 20.0 + 0.1 * time : kNan);
  }
  const MendedBack back = mended_back(rows);
  REQUIRE(!back.refused);
  CHECK(back.rate == doctest::Approx(100.0).epsilon(1e-6));
  REQUIRE(back.finding("clock_set_back"));
  CHECK(back.samples() > 1990);
  CHECK(back.blocks.back().speed.back() == doctest::Approx(22.0).epsilon(1e-3));
}

TEST_CASE("speeds in rows of their own find their place between times in whole seconds") {
  Samples rows;
  const MadeUp made;
  for (int i = 0; i < 3030; ++i) {
    const bool speed = i % 101 == 100;
    const double time = 0.01 * (i - i / 101);
    rows.time.push_back(std::floor(time + 1e-9));
    rows.acceleration[2].push_back(speed ? kNan : made.z(time));
    rows.speed.push_back(speed ? 20.0 + 0.1 * time : kNan);
  }
  const MendedBack back = mended_back(rows);
  REQUIRE(!back.refused);
  CHECK(back.finding("batched_stamps"));
  CHECK(back.samples() > 2800);
  CHECK(back.blocks[0].speed[1500] == doctest::Approx(21.6).epsilon(0.01));
}
