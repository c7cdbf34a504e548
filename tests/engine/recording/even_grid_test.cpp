// Why cubics: what they and lines between rows make of a tone.
#include "engine/recording/even_grid.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "engine/random.h"

using perrev::EvenGrid;
using perrev::Random;
using perrev::Stretch;

namespace {

constexpr double kPi = std::numbers::pi;

struct Errors {
  double cubic, lines;  // r.m.s. over that of the tone
};

// A tone of `hz` cycles a step, its rows moved evenly by up to `jitter` steps.
Errors errors_of(double hz, double jitter) {
  Random random(11);
  std::vector<double> times;
  for (int i = 0; i < 20'000; ++i)
    times.push_back(static_cast<double>(i) + jitter * (2.0 * random.real() - 1.0));
  std::deque<Stretch> out;
  EvenGrid grid(1.0, {1}, out);
  const auto tone = [&](double time) { return std::sin(2.0 * kPi * hz * time); };
  for (const double time : times) grid.add(time, {0.0, tone(time), 0.0});
  grid.close();
  REQUIRE(out.size() == 1);
  double cubic = 0.0, lines = 0.0, squares = 0.0;
  std::size_t row = 0;
  for (std::size_t i = 0; i < out[0].size; ++i) {
    const double time = out[0].begin + static_cast<double>(i);
    while (row + 2 < times.size() && times[row + 1] < time) ++row;
    const double share = (time - times[row]) / (times[row + 1] - times[row]);
    const double line = (1.0 - share) * tone(times[row]) + share * tone(times[row + 1]);
    cubic += std::pow(out[0].acceleration[1][i] - tone(time), 2);
    lines += std::pow(line - tone(time), 2);
    squares += std::pow(tone(time), 2);
  }
  return {std::sqrt(cubic / squares), std::sqrt(lines / squares)};
}

}  // namespace

TEST_CASE("cubics err less than lines at every frequency that a rate is good for") {
  for (const double hz : {0.02, 0.05, 0.1, 0.2}) {
    for (const double jitter : {0.02, 0.1, 0.4}) {
      const Errors errors = errors_of(hz, jitter);
      INFO(hz, " cycles a step, jitter ", jitter, ": ", errors.cubic, " by cubics, ", errors.lines,
           " by lines");
      CHECK(errors.cubic < (hz < 0.15 ? 0.4 : 0.75) * errors.lines);
    }
  }
  // What the header says.
  const Errors said = errors_of(0.1, 0.1);
  CHECK(said.cubic == doctest::Approx(0.0008).epsilon(0.1));
  CHECK(said.lines == doctest::Approx(0.013).epsilon(0.1));
}

TEST_CASE("a cubic goes through the grid exactly, whatever the rows' times") {
  Random random(12);
  const auto cubic = [](double t) { return 1.0 + t * (0.5 + t * (-0.25 + t * 0.01)); };
  std::deque<Stretch> out;
  EvenGrid grid(0.5, {0}, out);
  double time = 3.0;
  for (int i = 0; i < 200; ++i) {
    grid.add(time, {cubic(time), 0.0, 0.0});
    time += 0.3 + 0.4 * random.real();
  }
  CHECK(grid.close() == 0);
  REQUIRE(out.size() == 1);
  CHECK(out[0].closed);
  CHECK(out[0].begin == 3.0);
  CHECK(out[0].size > 150);
  for (std::size_t i = 0; i < out[0].size; ++i)
    CHECK(out[0].acceleration[0][i] ==
          doctest::Approx(cubic(3.0 + 0.5 * static_cast<double>(i))).epsilon(1e-3));
}

TEST_CASE("fewer than four rows are no stretch, and rows that nearly coincide make no swing") {
  std::deque<Stretch> out;
  EvenGrid grid(1.0, {0}, out);
  for (const double time : {0.0, 1.0, 2.0}) grid.add(time, {1.0, 0.0, 0.0});
  CHECK(grid.close() == 3);
  CHECK(out.empty());
  for (int i = 0; i < 50; ++i) {
    grid.add(i + 0.45, {0.0, 0.0, 0.0});
    grid.add(i + 0.4501, {1.0, 0.0, 0.0});
  }
  grid.close();
  REQUIRE(out.size() == 1);
  for (const double value : out[0].acceleration[0]) CHECK(std::fabs(value - 0.5) <= 0.5 + 1e-12);
}
