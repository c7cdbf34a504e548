// Frequency weightings against the tables of the standards and their reference points.
#include "engine/physics/weighting.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <complex>

using perrev::Weighting;
using perrev::weighting_gain;
using perrev::weighting_named;
using perrev::weighting_response;

TEST_CASE("weightings meet the factors of ISO 2631-1 at every third octave") {
  // Factors x 1000 at nominal frequencies. Wk and Wd: ISO 2631-1:1997 table 3, Wc and We: by the
  // transfer functions of its annex A to three digits.
  struct Row {
    double hz, wk, wd, wc, we;
  };
  const Row rows[] = {
      {0.5, 418, 853, 0, 0},       {0.63, 459, 944, 0, 0},       {0.8, 477, 992, 0, 0},
      {1, 482, 1011, 991, 880},    {1.25, 484, 1008, 1000, 772}, {1.6, 494, 968, 1007, 632},
      {2, 531, 890, 1012, 512},    {2.5, 631, 776, 1017, 409},   {3.15, 804, 642, 1022, 323},
      {4, 967, 512, 1024, 253},    {5, 1039, 409, 1013, 202},    {6.3, 1054, 323, 974, 160},
      {8, 1036, 253, 891, 125},    {10, 988, 201.7, 776, 100},  // Wd: the table's 212 is a misprint
      {12.5, 902, 161, 647, 80.1}, {16, 768, 125, 512, 62.5},    {20, 636, 100, 409, 50.0},
      {25, 513, 80.0, 325, 39.9},  {31.5, 405, 63.2, 256, 31.6}, {40, 314, 49.4, 199, 24.7},
      {50, 246, 38.8, 156, 19.4},  {63, 186, 29.5, 119, 14.8},   {80, 132, 21.1, 84.4, 10.5},
  };
  for (const Row& row : rows) {
    CAPTURE(row.hz);
    const auto meets = [&](Weighting weighting, double factor) {
      // A unit of the last digit printed.
      const double unit = factor >= 100.0 ? 1.0 : 0.1;
      CHECK(std::abs(1000.0 * weighting_gain(weighting, row.hz) - factor) <= unit);
    };
    meets(Weighting::wk, row.wk);
    meets(Weighting::wd, row.wd);
    if (row.wc > 0.0) meets(Weighting::wc, row.wc);
    if (row.we > 0.0) meets(Weighting::we, row.we);
  }
}

TEST_CASE("the third octave in which Wk is largest is that of 6.3 Hz") {
  // ISO 2631-1:1997 table 3; tables that are shifted by three bands are about.
  for (const double hz : {3.15, 4.0, 5.0, 8.0, 10.0})
    CHECK(weighting_gain(Weighting::wk, hz) < weighting_gain(Weighting::wk, 6.3));
}

TEST_CASE("weightings meet the reference points of ISO 8041") {
  struct Row {
    Weighting weighting;
    double hz, factor;
  };
  const double body = 100.0 / 6.283185307179586, hand = 5.0 * body;
  const Row rows[] = {
      {Weighting::wk, body, 0.7718}, {Weighting::wb, body, 0.8126},  {Weighting::wc, body, 0.5145},
      {Weighting::wd, body, 0.1261}, {Weighting::we, body, 0.06287}, {Weighting::wj, body, 1.019},
      {Weighting::wh, hand, 0.2020},
  };
  for (const Row& row : rows) {
    CAPTURE(static_cast<int>(row.weighting));
    CHECK(weighting_gain(row.weighting, row.hz) == doctest::Approx(row.factor).epsilon(6e-4));
  }
}

TEST_CASE("Wh meets the factors of ISO 5349-1 at every third octave") {
  // ISO 5349-1:2001 table A.2; three digits, at the exact centres 10^(n/10).
  const std::array<double, 24> factors{
      0.727, 0.873, 0.951, 0.958,  0.896,  0.782,  0.647,  0.519,  0.411,  0.324,  0.256,  0.202,
      0.160, 0.127, 0.101, 0.0799, 0.0634, 0.0503, 0.0398, 0.0314, 0.0245, 0.0186, 0.0135, 0.00894};
  for (std::size_t i = 0; i < factors.size(); ++i) {
    const double hz = std::pow(10.0, 0.1 * (8.0 + static_cast<double>(i)));
    CAPTURE(hz);
    CHECK(weighting_gain(Weighting::wh, hz) == doctest::Approx(factors[i]).epsilon(0.005));
  }
}

TEST_CASE("Wm is one lag of 28 ms between its band limits") {
  // ISO 2631-2:2003 annex A: 1 / (1 + 0.028 s); limits at 10^-0.1 and 100 Hz, Butterworth.
  for (const double hz : {0.5, 1.0, 5.684, 15.915, 80.0, 200.0}) {
    CAPTURE(hz);
    const double limits =
        std::sqrt((1.0 + std::pow(std::pow(10.0, -0.1) / hz, 4)) * (1.0 + std::pow(hz / 100.0, 4)));
    const double lag = std::hypot(1.0, 0.028 * 6.283185307179586 * hz);
    CHECK(weighting_gain(Weighting::wm, hz) ==
          doctest::Approx(1.0 / (limits * lag)).epsilon(1e-12));
  }
}

TEST_CASE("weightings pass nothing at either end, with the phase of their filters") {
  constexpr double kPi = 3.141592653589793;
  for (int i = 0; i < 8; ++i) {
    const auto weighting = static_cast<Weighting>(i);
    CAPTURE(i);
    // Far below, as the square of frequency, half a turn ahead.
    const auto low = weighting_response(weighting, 1e-4);
    CHECK(std::abs(low) / std::abs(weighting_response(weighting, 1e-3)) ==
          doctest::Approx(0.01).epsilon(1e-3));
    CHECK(std::abs(std::arg(low)) == doctest::Approx(kPi).epsilon(1e-3));
    // Far above, half a turn behind, and a quarter more where velocity counts there.
    const bool velocity = weighting != Weighting::wj;
    const double octave =
        std::abs(weighting_response(weighting, 2e6)) / std::abs(weighting_response(weighting, 1e6));
    CHECK(octave == doctest::Approx(velocity ? 0.125 : 0.25).epsilon(1e-3));
    CHECK(std::abs(std::arg(weighting_response(weighting, 1e6))) ==
          doctest::Approx(velocity ? kPi / 2.0 : kPi).epsilon(3e-3));
  }
}

TEST_CASE("weightings are known by their names alone") {
  CHECK(weighting_named("wk") == Weighting::wk);
  CHECK(weighting_named("wd") == Weighting::wd);
  CHECK(weighting_named("wm") == Weighting::wm);
  CHECK(weighting_named("wh") == Weighting::wh);
  for (const char* word : {"", "w", "Wk", "wf", "wk "}) CHECK(!weighting_named(word));
}
