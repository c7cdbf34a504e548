// Laws of what people say of levels.
#include "engine/physics/saying.h"

#include <doctest/doctest.h>

#include <numeric>
#include <vector>

#include "tests/engine/physics/shipped_physics.h"

using namespace perrev;
using namespace perrev::testing;

namespace {

// A hill of levels about `at` m/s, at the seat; `fall` dB at 8 m/s from it.
FeltWay hill(double at, double top, double fall = 12.0) {
  FeltWay out;
  for (const double speed : said_speeds()) {
    std::array<double, kFeltPlaces> levels{};
    levels.fill(kNotThere);
    const double off = (speed - at) / 8.0;
    levels[static_cast<std::size_t>(FeltPlace::seat)] = top - fall * off * off;
    out.felt.push_back(levels);
    out.heard.push_back(kNotThere);
  }
  return out;
}

AskedSpeeds fine_bands() {
  SpeedBands bands;
  for (int i = 0; i <= 30; ++i) bands.edges.push_back(1.8 * i);
  bands.base.assign(30, 1.0 / 30.0);
  return {bands, bands, bands};
}

double mean_speed(const std::vector<double>& shares) {
  double out = 0.0;
  for (std::size_t b = 0; b < shares.size(); ++b)
    out += shares[b] * 1.8 * (static_cast<double>(b) + 0.5);
  return out;
}

// Of the ways of one fault; all weights together sum to one.
std::vector<Sayings> said_of(const std::vector<FeltWay>& ways, double size_db) {
  std::vector<Sayings> out;
  double total = 0.0;
  for (const FeltWay& way : ways) {
    out.push_back(say(shipped_physics().people, way, size_db, fine_bands()));
    total += std::accumulate(out.back().weight.begin(), out.back().weight.end(), 0.0);
  }
  for (Sayings& said : out)
    for (double& w : said.weight) w /= total;
  return out;
}

double weight_of(const Sayings& said) {
  return std::accumulate(said.weight.begin(), said.weight.end(), 0.0);
}

}  // namespace

TEST_CASE("all that can be said sums to one, for every way and number") {
  const std::vector<Sayings> all = said_of({hill(20.0, 5.0), hill(30.0, -10.0)}, 6.0);
  for (const Sayings& said : all) {
    CHECK(std::accumulate(said.worst.begin(), said.worst.end(), 0.0) == doctest::Approx(1.0));
    for (std::size_t n = 0; n < kLevels; ++n) {
      double begins = 0.0, ends = 0.0, strength = 0.0;
      for (const auto& band : said.begins) begins += band[n];
      for (const auto& band : said.ends) ends += band[n];
      for (const auto& degree : said.strength) strength += degree[n];
      CHECK(begins == doctest::Approx(1.0));
      CHECK(ends == doctest::Approx(1.0));
      CHECK(strength == doctest::Approx(1.0));
      for (const auto& tick : said.ticked) {
        CHECK(tick[n] > 0.0);
        CHECK(tick[n] < 1.0);
      }
    }
  }
}

TEST_CASE("the worst speed lies at the hill; the stronger, the earlier it begins") {
  const auto said = [&](double at) {
    return say(shipped_physics().people, hill(at, 5.0), 6.0, fine_bands());
  };
  CHECK(mean_speed(said(24.0).worst) > mean_speed(said(16.0).worst) + 5.0);
  const Sayings one = said(24.0);
  const auto begins = [&](std::size_t n) {
    std::vector<double> shares;
    for (const auto& band : one.begins) shares.push_back(band[n]);
    return mean_speed(shares);
  };
  for (std::size_t n = kLevels / 2 + 1; n < kLevels; ++n) CHECK(begins(n) < begins(n - 1));
  CHECK(begins(kLevels / 2) < mean_speed(one.worst));
}

TEST_CASE("who feels nothing does not complain: a weak way has few complaints") {
  const std::vector<Sayings> all = said_of({hill(24.0, 8.0), hill(24.0, -12.0)}, 5.0);
  CHECK(weight_of(all[1]) < 0.05);
  // Of the weak way, those complain whose fault is large: the mean number is higher.
  const auto mean_number = [](const Sayings& said) {
    double sum = 0.0, total = 0.0;
    for (std::size_t n = 0; n < kLevels; ++n) {
      sum += said.weight[n] * static_cast<double>(n);
      total += said.weight[n];
    }
    return sum / total;
  };
  CHECK(mean_number(all[1]) > mean_number(all[0]) + 2.0);
}
