// Runout by the dial: totals, eccentricity, and what is refused.
#include "engine/shopmath/runout.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/shapes.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

constexpr double kMm = 1e-3;

// A tire of eccentricity `first` and a second harmonic, a dial of `sd`.
std::vector<double> tire_readings(Vector first, Vector second, std::size_t count, double sd,
                                  testing::Trials& random) {
  return testing::readings_of({0.0, {first, second}}, testing::even_places(count), random, sd);
}

}  // namespace

TEST_CASE("a body that sits off its middle runs out by twice that") {
  // Total indicated runout is twice the eccentricity: ISO 1101 and any handbook of gauging.
  struct Row {
    double eccentricity, degrees;
    std::size_t count;
  };
  for (const Row& row : {Row{0.25, 90, 4}, {0.25, 90, 8}, {0.6, 120, 12}, {0.05, 330, 36}}) {
    CAPTURE(row.count);
    testing::Trials random(1);
    const double place = row.degrees * kDegree;
    const auto runout = read_runout(
        {tire_readings(vector_at(row.eccentricity * kMm, place), {}, row.count, 0.0, random)});
    REQUIRE(runout.ok());
    CHECK(runout->eccentricity.value == doctest::Approx(row.eccentricity * kMm).epsilon(1e-9));
    CHECK(runout->total.value == doctest::Approx(2.0 * row.eccentricity * kMm).epsilon(1e-9));
    CHECK(runout->fit->harmonics[0].peak_to_peak().value ==
          doctest::Approx(runout->total.value).epsilon(1e-9));
    CHECK(std::abs(runout->fit->harmonics[0].high_place() - place) < 1e-9);
  }
}

TEST_CASE("eccentricity and total hold the truth in 95 %, dial known and not known") {
  for (const bool known : {true, false}) {
    testing::Trials random(known ? 11 : 12);
    testing::Coverage eccentricity, total, x, y;
    const Gauge dial{0.02 * kMm, 0.02 * kMm};
    // The high and the low place stand alone: read at neither side within the dial's scatter.
    const Vector first = vector_at(0.6 * kMm, 0.0), second = vector_at(0.1 * kMm, 1.0);
    testing::Trials still(1);
    const auto clean = tire_readings(first, second, 12, 0.0, still);
    const double truth = *std::max_element(clean.begin(), clean.end()) -
                         *std::min_element(clean.begin(), clean.end());
    for (int i = 0; i < testing::kTrials; ++i) {
      RunoutReadings of{tire_readings(first, second, 12, known ? dial.sd() : 0.004 * kMm, random)};
      if (known) of.gauge = dial;
      const auto runout = read_runout(of);
      eccentricity.add(runout->eccentricity, 0.6 * kMm);
      x.add(runout->fit->harmonics[0].vector.x(), first.real());
      y.add(runout->fit->harmonics[0].vector.y(), first.imag());
      total.add(runout->total, truth);
    }
    CAPTURE(known);
    testing::check_holds(eccentricity);
    testing::check_holds(x);
    testing::check_holds(y);
    // Neighbours come near now and then: never less, a little more.
    testing::check_holds_at_least(total);
  }
}

TEST_CASE("the total alone bounds eccentricity from above and tells no place") {
  testing::Trials random(13);
  testing::Coverage total;
  const Gauge dial{0.01 * kMm, 0.01 * kMm};
  for (int i = 0; i < testing::kTrials; ++i) {
    RunoutReadings of;
    of.gauge = dial;
    of.total = 0.8 * kMm + random.normal(dial.sd()) - random.normal(dial.sd());
    const auto runout = read_runout(of);
    REQUIRE(runout.ok());
    CHECK(!runout->fit);
    CHECK(runout->eccentricity.low == 0.0);
    CHECK(runout->eccentricity.high == doctest::Approx(runout->total.high / 2.0));
    total.add(runout->total, 0.8 * kMm);
  }
  testing::check_holds(total);
}

TEST_CASE("a total read beside the readings stands for the turn") {
  RunoutReadings of{{0.0, 0.3 * kMm, 0.5 * kMm, 0.2 * kMm, 0.0, -0.2 * kMm}};
  of.gauge = {0.05 * kMm, 0.0};
  of.total = 0.9 * kMm;
  CHECK(read_runout(of)->total.value == doctest::Approx(0.9 * kMm));
  // The dial swings between the places as well, so more is possible; less is not, but for a step.
  of.total = 0.68 * kMm;
  CHECK(read_runout(of).ok());
  of.total = 0.5 * kMm;
  CHECK(!read_runout(of).ok());
}

TEST_CASE("a dial too coarse for what runs out is told") {
  RunoutReadings of{{0.0, 0.5 * kMm, 0.5 * kMm, 0.0, -0.5 * kMm, -0.5 * kMm}};
  of.gauge = {0.01 * kMm, 0.0};
  CHECK(!read_runout(of)->coarse);
  of.gauge.resolution = 0.5 * kMm;
  CHECK(read_runout(of)->coarse);
}

TEST_CASE("runouts that cannot be are refused in words") {
  const std::vector<double> fine{0.0, kMm, 0.0, -kMm};
  const Gauge dial{0.01 * kMm, 0.0};
  const RunoutReadings wrong[] = {
      {},
      {{0.0, kMm, 0.0}},
      {{0.0, 26.0 * kMm, 0.0, 0.0}},
      {{0.0, 1.0, 0.0, 2.0}},
      {fine, {0.0, 1.0, 2.0, 7.0}},
      {fine, {0.0, 1.0, 1.0, 3.0}},
      {fine, {}, 1.0 * kMm},
      {fine, {}, -1.0 * kMm},
      {fine, {}, std::nan("")},
      {{}, {}, 26.0 * kMm, dial},
      {{}, {}, 1.0 * kMm},
      {fine, {}, {}, {-0.01 * kMm, 0.0}},
      {fine, {}, {}, {0.0, std::nan("")}},
      {fine, {}, {}, dial, 3},
  };
  for (const RunoutReadings& of : wrong) {
    const auto runout = read_runout(of);
    REQUIRE(!runout.ok());
    CHECK(!runout.error().what.empty());
    CHECK(!runout.error().right.empty());
  }
  const auto spread = read_runout({{0.0, 26.0 * kMm, 0.0, 0.0}});
  CHECK(spread.error().what == "the readings lie 26 mm apart, beyond 25 mm");
}
