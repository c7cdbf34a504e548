// Readings as peaks, and peaks on lines.
#include "engine/providers/orders_peaks.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include "tests/engine/reasoning/lcg.h"

using namespace perrev;
using perrev::testing::Lcg;

namespace {

// Over 1 to 200 Hz by Simpson's rule in the logarithm.
template <class Density>
double integral(const Density& density) {
  constexpr int kSteps = 20000;
  const double step = std::log(kHighestHz / kLowestHz) / kSteps;
  double out = 0.0;
  for (int i = 0; i <= kSteps; ++i) {
    const double hz = kLowestHz * std::exp(step * i);
    out += (i == 0 || i == kSteps ? 1.0 : i % 2 == 1 ? 4.0 : 2.0) * density(hz) * hz;
  }
  return out * step / 3.0;
}

}  // namespace

TEST_CASE("readings become peaks") {
  struct Row {
    std::vector<double> readings, peaks;
    std::vector<int> counts;
  };
  // Two readings of one peak differ by up to 2.8 x 2 % of it.
  const Row rows[] = {
      {{42.1}, {42.1}, {1}},
      {{42.1, 42.6}, {42.35}, {2}},
      {{42.6, 42.1, 42.1}, {42.266667}, {3}},
      {{42.0, 14.0}, {14.0, 42.0}, {1, 1}},
      {{14.1, 28.2, 13.9, 28.0}, {14.0, 28.1}, {2, 2}},
      {{5.0, 5.5, 6.2}, {5.25, 6.2}, {2, 1}},  // 0.2 Hz at best
      {{100.0, 105.0}, {102.5}, {2}},
      {{100.0, 106.0}, {100.0, 106.0}, {1, 1}},
      {{}, {}, {}},
  };
  for (const Row& row : rows) {
    const std::vector<Peak> peaks = peaks_of(row.readings);
    REQUIRE(peaks.size() == row.peaks.size());
    for (std::size_t p = 0; p < peaks.size(); ++p) {
      CHECK(peaks[p].hz == doctest::Approx(row.peaks[p]).epsilon(1e-6));
      CHECK(peaks[p].readings == row.counts[p]);
    }
  }
}

TEST_CASE("the order of readings means nothing, and none is lost") {
  Lcg random(17);
  for (int i = 0; i < 500; ++i) {
    std::vector<double> readings;
    for (int k = random.between(1, 8); k > 0; --k) readings.push_back(random.real(1.0, 200.0));
    const std::vector<Peak> peaks = peaks_of(readings);
    random.shuffle(readings);
    const std::vector<Peak> again = peaks_of(readings);
    REQUIRE(peaks.size() == again.size());
    int count = 0;
    double sum = 0.0;
    for (std::size_t p = 0; p < peaks.size(); ++p) {
      REQUIRE(peaks[p].hz == again[p].hz);
      if (p > 0) REQUIRE(peaks[p].hz > peaks[p - 1].hz);
      count += peaks[p].readings;
      sum += peaks[p].readings * peaks[p].hz;
    }
    REQUIRE(count == static_cast<int>(readings.size()));
    REQUIRE(sum == doctest::Approx(std::accumulate(readings.begin(), readings.end(), 0.0)));
  }
}

TEST_CASE("repeated readings sharpen a peak") {
  CHECK(Peak{50.0, 4}.sd() == doctest::Approx(0.5 * Peak{50.0, 1}.sd()));
  CHECK(on_line(15.0, 4, {15.0, 0.1}) > on_line(15.0, 1, {15.0, 0.1}));
  CHECK(on_line(16.0, 4, {15.0, 0.1}) < on_line(16.0, 1, {15.0, 0.1}));
}

TEST_CASE("a reading that tells how sure it is counts for as many as it is worth") {
  for (const double sd : {0.02, 0.1, 0.3, 1.0}) {
    const std::vector<Peak> peaks = peaks_of({15.0, 50.0}, sd);
    REQUIRE(peaks.size() == 2);
    for (const Peak& peak : peaks) CHECK(peak.sd() == doctest::Approx(sd));
  }
  // Two readings are one peak where they may be readings of one: at 0.3 Hz, not at 0.02.
  CHECK(peaks_of({15.0, 15.5}, 0.3).size() == 1);
  CHECK(peaks_of({15.0, 15.5}, 0.02).size() == 2);
  const std::vector<Estimate> lines = {{15.0, 0.05}};
  CHECK(explained_by(peaks_of({15.05}, 0.02), lines, {1.0})[0] >
        explained_by(peaks_of({15.05}), lines, {1.0})[0]);
  CHECK(explained_by(peaks_of({15.4}, 0.02), lines, {1.0})[0] <
        explained_by(peaks_of({15.4}), lines, {1.0})[0]);
}

TEST_CASE("a reading of a line sums to one over all that can be read") {
  Lcg random(19);
  for (int i = 0; i < 12; ++i) {
    const Estimate line{i == 0   ? 250.0
                        : i == 1 ? 0.5
                                 : random.real(1.0, 220.0),
                        random.real(0.1, 5.0)};
    CAPTURE(line.mean);
    CHECK(integral([&](double hz) { return on_line(hz, 1, line) * else_density(hz); }) ==
          doctest::Approx(1.0).epsilon(1e-6));
    CHECK(share_on_line(kLowestHz, kHighestHz, line) == doctest::Approx(1.0).epsilon(1e-9));
  }
}

TEST_CASE("one peak: the line, or one time in ten anything else") {
  const std::vector<Estimate> lines = {{15.0, 0.3}, {30.0, 0.5}};
  const std::vector<double> shares = {0.7, 0.3};
  for (const double hz : {14.0, 15.0, 22.0, 30.0}) {
    const std::vector<double> said = explained_by({{hz, 1}}, lines, shares);
    for (std::size_t i = 0; i < lines.size(); ++i)
      CHECK(said[i] == doctest::Approx(0.1 + 0.9 * on_line(hz, 1, lines[i])).epsilon(1e-12));
  }
}

TEST_CASE("several peaks: densities sum to one") {
  // Two peaks, two lines: the double integral, one peak held on a grid of the other.
  const std::vector<Estimate> lines = {{15.0, 0.6}, {30.0, 1.2}};
  const std::vector<double> shares = {0.6, 0.4};
  constexpr int kSteps = 400;
  const double step = std::log(kHighestHz / kLowestHz) / kSteps;
  std::vector<double> total(2, 0.0);
  for (int i = 0; i < kSteps; ++i)
    for (int j = 0; j < kSteps; ++j) {
      const double a = kLowestHz * std::exp(step * (i + 0.5)),
                   b = kLowestHz * std::exp(step * (j + 0.5));
      const std::vector<double> said = explained_by({{a, 1}, {b, 1}}, lines, shares);
      for (std::size_t k = 0; k < 2; ++k) total[k] += said[k] / (kSteps * kSteps);
    }
  for (const double all : total) CHECK(all == doctest::Approx(1.0).epsilon(1e-3));
}

TEST_CASE("several peaks: one on a line is enough, and more lines explain more peaks") {
  const std::vector<Estimate> tire = {{14.0, 0.2}}, joint = {{50.0, 0.7}, {100.0, 1.4}};
  const auto said = [](const std::vector<double>& readings, const std::vector<Estimate>& lines) {
    const std::vector<double> shares(lines.size(), 1.0 / static_cast<double>(lines.size()));
    const std::vector<double> all = explained_by(peaks_of(readings), lines, shares);
    return std::inner_product(all.begin(), all.end(), shares.begin(), 0.0);
  };
  CHECK(said({14.0, 70.0}, tire) > 1.0);
  CHECK(said({14.0, 70.0}, tire) < said({14.0}, tire));  // 70 Hz may be what is felt
  CHECK(said({33.0, 70.0}, tire) < 1.0);
  CHECK(said({50.0, 100.0}, joint) > said({50.0, 70.0}, joint));
  CHECK(said({50.0, 100.0}, joint) > said({50.0}, joint));
  CHECK(said({50.0, 100.0}, {{50.0, 0.7}}) < said({50.0, 100.0}, joint));
  // In the middle between two peaks there is nothing: the median of readings says nothing.
  CHECK(said({28.0, 72.0}, {{50.0, 0.7}}) < 0.2);
}
