// Severity against another solver: scipy filters the same signals by other means.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <string>
#include <vector>

#include "engine/random.h"
#include "engine/recording/severity_meter.h"
#include "engine/recording/weighting_filter.h"
#include "tests/engine/recomputed.h"

using namespace perrev;
using Json = nlohmann::json;

namespace {

// A sine under a Gaussian; of no width: without an end.
struct Burst {
  double hz, amplitude, phase, at, width;
};

std::vector<double> heard(const std::vector<Burst>& bursts, double rate, std::size_t count) {
  std::vector<double> out(count);
  for (std::size_t i = 0; i < count; ++i) {
    const double time = static_cast<double>(i) / rate;
    for (const Burst& of : bursts) {
      const double z = of.width > 0.0 ? (time - of.at) / of.width : 0.0;
      out[i] += of.amplitude * std::exp(-0.5 * z * z) *
                std::sin(2.0 * std::numbers::pi * of.hz * time + of.phase);
    }
  }
  return out;
}

Json named(const std::vector<Burst>& bursts) {
  Json out = Json::array();
  for (const Burst& of : bursts)
    out.push_back({{"hz", of.hz},
                   {"amplitude", of.amplitude},
                   {"phase", of.phase},
                   {"at", of.at},
                   {"width", of.width}});
  return out;
}

std::vector<double> filtered(const std::string& name, double rate,
                             const std::vector<double>& samples) {
  WeightingFilter filter(*weighting_named(name), rate);
  std::vector<double> out;
  filter.take(samples, out);
  filter.finish(out);
  return out;
}

Json entry(const char* what, const char* name, const std::vector<Burst>& bursts, double rate,
           std::size_t count, std::size_t first, std::size_t last) {
  const std::vector<double> all = filtered(name, rate, heard(bursts, rate, count));
  const std::vector<double> values(all.begin() + static_cast<std::ptrdiff_t>(first),
                                   all.begin() + static_cast<std::ptrdiff_t>(last));
  return {{"what", what},
          {"inputs",
           {{"name", name},
            {"bursts", named(bursts)},
            {"rate", rate},
            {"count", count},
            {"first", first},
            {"last", last}}},
          {"values", values}};
}

// Three axes that swell and fade, the first four seconds without anything.
Json figures(std::uint64_t seed) {
  Random random(seed);
  const std::size_t rate = 400, count = 40 * rate;
  EvenBlock block;
  block.rate = static_cast<double>(rate);
  Json axes = Json::array();
  for (std::vector<double>& axis : block.acceleration) {
    std::vector<Burst> bursts;
    for (int i = 0; i < 12; ++i)
      bursts.push_back({1.0 + 40.0 * random.real(), 2.0 * random.real(), 6.0 * random.real(),
                        14.0 + 20.0 * random.real(), 0.1 + random.real()});
    axis = heard(bursts, block.rate, count);
    axes.push_back(named(bursts));
  }
  SeverityMeter meter;
  meter.take(block);
  const Severity found = meter.finish();
  return {{"what", "figures"},
          {"inputs",
           {{"axes", axes},
            {"rate", rate},
            {"count", count},
            {"first", static_cast<std::size_t>(kSettling) * rate}}},
          {"values",
           {found.weighted[0], found.weighted[1], found.weighted[2], found.total,
            found.highest_running, found.dose, found.crest}}};
}

}  // namespace

TEST_CASE("scipy weights the same signals the same, in time") {
  const std::vector<Burst> sines = {
      {2.2, 1.0, 0.3, 0, 0}, {7.9, 0.8, 1.1, 0, 0}, {16.3, 0.5, 2.0, 0, 0}, {61.7, 0.4, 0.1, 0, 0}};
  const std::vector<Burst> bursts = {{1.1, 1.0, 0.3, 12.0, 1.1},
                                     {8.0, 2.0, 1.0, 17.0, 0.2},
                                     {30.0, 3.0, 2.0, 25.0, 0.4},
                                     {75.0, 3.0, 0.0, 33.0, 0.3}};
  Json all = Json::array();
  for (const char* name : {"wk", "wd"}) {
    all.push_back(entry("steady", name, sines, 500.0, 45 * 500, 16 * 500, 44 * 500));
    for (const double rate : {250.0, 1000.0}) {
      const auto count = static_cast<std::size_t>(40.0 * rate);
      all.push_back(entry("passing", name, bursts, rate, count, 0, count));
    }
  }
  for (const std::uint64_t seed : {1U, 2U, 3U}) all.push_back(figures(seed));
  test::check_recomputed("recording/severity_independent.py", all, 1e-4);
}
