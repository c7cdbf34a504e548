// Stamps that are cut, shared or jitter: how near the samples come to when they were measured.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <functional>

#include "tests/engine/recording/made_up.h"
#include "tests/engine/recording/read_back.h"

using namespace perrev;
using namespace perrev::recorded;

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
