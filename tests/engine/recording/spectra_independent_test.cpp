// Spectra and even steps of road against scipy.signal and scipy.interpolate.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "engine/recording/resampling.h"
#include "engine/recording/welch.h"
#include "tests/engine/recomputed.h"
#include "tests/engine/recording/made_up_drive.h"

using namespace perrev;
using Json = nlohmann::json;

namespace {

// 4 s at each rate are these many samples; 997.3 Hz gives no whole number.
Json spectrum_of(double rate, double seconds, std::uint64_t seed) {
  MadeUpDrive drive;
  drive.rate = rate;
  drive.seconds = seconds;
  drive.seed = seed;
  const MadeUp made = made_up(drive);
  std::size_t points = 0;
  Welch welch(Domain::time, rate, 4.0, 1e9, [](const Segment&) {});
  for (const EvenBlock& block : cut(made.block, 777)) welch.take(block);
  const Spectrum spectrum = welch.spectrum();
  points = static_cast<std::size_t>(std::lround(rate / spectrum.step));
  return {{"what", "welch"},
          {"inputs",
           {{"rate", rate},
            {"points", points},
            {"lines", spectrum.lines()},
            {"samples", made.block.acceleration[2]}}},
          {"values", spectrum.density[2]}};
}

// 40 waves that fit a whole number of times into the record, up to 0.35 of the rate; speed from one
// end to the other and back.
Json even_steps_of(double slow, double fast, double per_metre) {
  EvenBlock block;
  block.rate = 200.0;
  constexpr std::size_t kSamples = 2000;
  for (std::size_t i = 0; i < kSamples; ++i) {
    const double part = static_cast<double>(i) / kSamples;
    double sum = 9.81;
    for (int wave = 1; wave <= 40; ++wave) {
      const double cycles = std::floor(0.35 * kSamples * wave / 40.0);
      sum += std::cos(2.0 * std::numbers::pi * (cycles * part + 0.37 * wave * wave));
    }
    block.acceleration[2].push_back(sum);
    block.speed.push_back(slow +
                          (fast - slow) * 0.5 * (1.0 - std::cos(2.0 * std::numbers::pi * part)));
  }
  std::vector<double> values;
  double begin = -1.0;
  Resampler resampler(Domain::road, per_metre, 3.0, [&](const EvenBlock& out) {
    if (begin < 0.0) begin = out.begin;
    values.insert(values.end(), out.acceleration[2].begin(), out.acceleration[2].end());
  });
  for (const EvenBlock& part : cut(block, 333)) resampler.take(part);
  return {{"what", "even_steps"},
          {"inputs",
           {{"rate", block.rate},
            {"samples", block.acceleration[2]},
            {"speed", block.speed},
            {"per_metre", per_metre},
            {"begin", begin},
            {"count", values.size()}}},
          {"values", values}};
}

}  // namespace

// To 1e-6 and 3e-4 (the script); seen where a value is off by three times as much.
TEST_CASE("scipy finds the same spectra and the same even steps") {
  const char* script = "recording/spectra_independent.py";
  test::check_recomputed(script,
                         Json::array({spectrum_of(200.0, 30.0, 1), spectrum_of(1000.0, 11.0, 2),
                                      spectrum_of(997.3, 20.0, 3)}),
                         3e-6);
  test::check_recomputed(
      script,
      Json::array({even_steps_of(20.0, 20.0, 15.0), even_steps_of(12.0, 30.0, 20.0),
                   even_steps_of(25.0, 40.0, 9.0)}),
      9e-4);
}
