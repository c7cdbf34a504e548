// Runout taken apart: differences of vectors, what they hold, and what indexing tells.
#include "engine/shopmath/runout_parts.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/runout.h"
#include "engine/shopmath/runout_turned.h"
#include "tests/engine/shopmath/estimates.h"
#include "tests/engine/shopmath/shapes.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;
using testing::read_as;

namespace {

constexpr double kMm = 1e-3;

// Dial readings of an eccentricity; scatter learned.
VectorEstimate dial_round(Vector truth, double sd, testing::Trials& random,
                          std::size_t count = 18) {
  RunoutReadings of;
  of.readings = testing::readings_of({0.0, {truth}}, testing::even_places(count), random, sd);
  of.harmonics = count < 8 ? 1 : 2;
  const auto runout = read_runout(of);
  REQUIRE(runout.ok());
  return runout->fit->harmonics[0].vector;
}

const RunoutShare* share_of(const RunoutParts& parts, const std::vector<RunoutPart>& which) {
  for (const RunoutShare& share : parts.shares)
    if (share.parts == which) return &share;
  return nullptr;
}

struct Truth {
  Vector tire, rim, hub, seating;
};

RunoutVectors all_of(const Truth& truth, double sd, testing::Trials& random) {
  return {dial_round(truth.tire + truth.rim + truth.hub + truth.seating, sd, random),
          dial_round(truth.tire + truth.rim, sd, random),
          dial_round(truth.rim, sd, random),
          dial_round(truth.hub, sd, random),
          {}};
}

constexpr auto kTire = RunoutPart::tire, kRim = RunoutPart::rim, kHub = RunoutPart::hub,
               kSeating = RunoutPart::seating;

}  // namespace

TEST_CASE("tire and rim add as vectors") {
  // T 90 at 70 degrees and W 60 at 200 degrees make 68.98 at 111.79: match mounting by vectors, as
  // any text on tire uniformity has it.
  RunoutVectors of;
  of.off_car = read_as(vector_at(68.98, 111.79 * kDegree), 0.1);
  of.rim = read_as(vector_at(60.0, 200.0 * kDegree), 0.1);
  const auto parts = runout_parts(of);
  REQUIRE(parts.ok());
  const RunoutShare* tire = share_of(*parts, {kTire});
  REQUIRE(tire);
  CHECK(std::abs(tire->vector.value) == doctest::Approx(90.0).epsilon(2e-4));
  CHECK(std::abs(angle_of(tire->vector.value) / kDegree - 70.0) < 0.02);
  CHECK(parts->shares[parts->most].parts == std::vector<RunoutPart>{kTire});
  CHECK(parts->clearly_most);
}

TEST_CASE("every part holds the truth in 95 %, read by the dial") {
  const Truth truth{vector_at(0.30 * kMm, 1.0), vector_at(0.15 * kMm, 4.0),
                    vector_at(0.08 * kMm, 2.5), vector_at(0.20 * kMm, 5.5)};
  testing::Trials random(3);
  struct Row {
    RunoutPart part;
    Vector truth;
    testing::Coverage x, y;
  };
  std::vector<Row> rows{{kTire, truth.tire, {}, {}},
                        {kRim, truth.rim, {}, {}},
                        {kHub, truth.hub, {}, {}},
                        {kSeating, truth.seating, {}, {}}};
  for (int i = 0; i < testing::kTrials; ++i) {
    const auto parts = runout_parts(all_of(truth, 0.01 * kMm, random));
    for (Row& row : rows) {
      const RunoutShare* share = share_of(*parts, {row.part});
      REQUIRE(share);
      row.x.add(share->vector.x(), row.truth.real());
      row.y.add(share->vector.y(), row.truth.imag());
    }
  }
  for (const Row& row : rows) {
    CAPTURE(name_of(row.part));
    testing::check_holds(row.x);
    testing::check_holds(row.y);
  }
}

TEST_CASE("whatever was read, the parts add up to it again") {
  testing::Trials random(5);
  const Truth truth{{0.3, 0.1}, {-0.1, 0.2}, {0.05, -0.1}, {0.2, 0.2}};
  const Vector of_part[] = {truth.tire, truth.rim, truth.hub, truth.seating};
  for (unsigned mask = 1; mask < 32; ++mask) {
    CAPTURE(mask);
    RunoutVectors of;
    if (mask & 1U) of.on_car = read_as(truth.tire + truth.rim + truth.hub + truth.seating, 1e-3);
    if (mask & 2U) of.off_car = read_as(truth.tire + truth.rim, 1e-3);
    if (mask & 4U) of.rim = read_as(truth.rim, 1e-3);
    if (mask & 8U) of.hub = read_as(truth.hub, 1e-3);
    if (mask & 16U) of.seating = read_as(truth.seating, 1e-3);
    const auto parts = runout_parts(of);
    REQUIRE(parts.ok());
    Vector sum;
    std::vector<RunoutPart> seen;
    for (const RunoutShare& share : parts->shares) {
      Vector expected;
      for (const RunoutPart part : share.parts) {
        expected += of_part[static_cast<std::size_t>(part)];
        for (const RunoutPart other : seen) CHECK(other != part);
        seen.push_back(part);
      }
      CHECK(std::abs(share.vector.value - expected) < 1e-12);
      sum += share.vector.value;
    }
    if (mask & 1U) CHECK(std::abs(sum - of.on_car->value) < 1e-12);
    CHECK(parts->on_less_off.has_value() == ((mask & 3U) == 3U));
    CHECK(parts->gap.has_value() == ((mask & 27U) == 27U));
    if (parts->gap) CHECK(!parts->gap_stands);
  }
}

TEST_CASE("what cannot be told apart is told together") {
  const VectorEstimate any = read_as({0.3, 0.2}, 0.01);
  RunoutVectors of;
  of.on_car = any;
  CHECK(share_of(*runout_parts(of), {kTire, kRim, kHub, kSeating}));
  of.off_car = any;
  CHECK(share_of(*runout_parts(of), {kTire, kRim}));
  CHECK(share_of(*runout_parts(of), {kHub, kSeating}));
  of.hub = any;
  CHECK(share_of(*runout_parts(of), {kSeating}));
  of.off_car.reset();
  of.rim = any;
  CHECK(share_of(*runout_parts(of), {kTire, kSeating}));
  CHECK(!runout_parts({}).ok());
}

TEST_CASE("a sum that does not close is told with how much") {
  testing::Trials random(7);
  testing::Coverage closes, gap_x, gap_y;
  int told = 0;
  const Truth truth{vector_at(0.3 * kMm, 1.0), vector_at(0.1 * kMm, 4.0),
                    vector_at(0.08 * kMm, 2.0), vector_at(0.2 * kMm, 5.0)};
  const Vector slipped{0.06 * kMm, -0.03 * kMm};
  for (int i = 0; i < testing::kTrials; ++i) {
    RunoutVectors of = all_of(truth, 0.01 * kMm, random);
    of.seating = dial_round(truth.seating, 0.01 * kMm, random);
    closes.add({0.0, 0.0, 0.5}, runout_parts(of)->gap_stands ? 1.0 : 0.0);
    of.seating = dial_round(truth.seating - slipped, 0.01 * kMm, random);
    const auto parts = runout_parts(of);
    told += parts->gap_stands;
    gap_x.add(parts->gap->x(), slipped.real());
    gap_y.add(parts->gap->y(), slipped.imag());
  }
  testing::check_holds(closes);
  testing::check_holds(gap_x);
  testing::check_holds(gap_y);
  CHECK(told > 0.99 * testing::kTrials);
}

TEST_CASE("on the car less off the car decides about the fit, whatever both are") {
  struct Row {
    double on, off, apart;  // mm peak to peak; degrees between their places
    FitSays says;
  };
  // Above 0.4 to 0.5 mm (0.015 to 0.020 in): hub, fit or dirt. Common practice.
  const Row rows[] = {
      {1.0, 0.1, 0.0, FitSays::accuses_fit},    // within 1.5 mm on the car, and still the fit
      {1.2, 1.1, 0.0, FitSays::clears_fit},     // the wheel's own
      {1.0, 0.55, 0.0, FitSays::leaves_open},   // between the two
      {0.6, 0.6, 180.0, FitSays::accuses_fit},  // alike in amount, at other places
      {0.3, 0.2, 180.0, FitSays::leaves_open},
  };
  for (const Row& row : rows) {
    RunoutVectors of;
    of.on_car = read_as(vector_at(0.5 * row.on * kMm, 0.0), 0.005 * kMm);
    of.off_car = read_as(vector_at(0.5 * row.off * kMm, row.apart * kDegree), 0.005 * kMm);
    CHECK(*runout_parts(of)->fit_says == row.says);
  }
}

TEST_CASE("a part turned on its hub: the index example, for any angle") {
  // 10 at 30 and 6 at 200 degrees, half a turn: mounting 2.1109 at 44.288, part 7.9715 at 26.253;
  // quarter turn: part 5 at 40 and mounting 3 at 310 read 5.831 at 9.036 and 2 at 130: by the
  // mathematics of ISO 21940-14.
  struct Row {
    double first, at_first, second, at_second, turn;
    double hub, at_hub, part, at_part;
  };
  const Row rows[] = {{10, 30, 6, 200, 180, 2.1109, 44.288, 7.9715, 26.253},
                      {5.83095, 9.0362, 2, 130, 90, 3, 310, 5, 40}};
  for (const Row& row : rows) {
    const auto turned = runout_turned(read_as(vector_at(row.first, row.at_first * kDegree), 0.01),
                                      read_as(vector_at(row.second, row.at_second * kDegree), 0.01),
                                      row.turn * kDegree);
    REQUIRE(turned.ok());
    CHECK(std::abs(turned->hub.value - vector_at(row.hub, row.at_hub * kDegree)) < 1e-3);
    CHECK(std::abs(turned->part.value - vector_at(row.part, row.at_part * kDegree)) < 1e-3);
    CHECK(turned->follows == RunoutFollows::part);
  }
}

TEST_CASE("on the car less off the car holds the truth in 95 % from few readings as well") {
  for (const std::size_t readings : {std::size_t{4}, std::size_t{8}}) {
    CAPTURE(readings);
    testing::Trials random(13);
    testing::Coverage x, y;
    const Vector wheel{0.3 * kMm, -0.1 * kMm}, fit{-0.05 * kMm, 0.25 * kMm};
    for (int i = 0; i < testing::kTrials; ++i) {
      RunoutVectors of;
      of.on_car = dial_round(wheel + fit, 0.02 * kMm, random, readings);
      of.off_car = dial_round(wheel, 0.02 * kMm, random, readings);
      const auto parts = runout_parts(of);
      x.add(parts->on_less_off->x(), fit.real());
      y.add(parts->on_less_off->y(), fit.imag());
    }
    testing::check_holds(x);
    testing::check_holds(y);
  }
}

TEST_CASE("a part turned on its hub holds the truth in 95 %, five studs as well") {
  struct Row {
    double degrees;
    std::size_t readings;
  };
  for (const Row& row : {Row{180.0, 4}, {144.0, 8}, {72.0, 18}}) {
    const double degrees = row.degrees;
    CAPTURE(degrees);
    testing::Trials random(11);
    testing::Coverage part_x, part_y, hub_x, hub_y;
    const Vector part{0.3 * kMm, -0.1 * kMm}, hub{-0.05 * kMm, 0.15 * kMm},
        turn = vector_at(1.0, degrees * kDegree);
    for (int i = 0; i < testing::kTrials; ++i) {
      const auto turned = runout_turned(
          dial_round(part + hub, 0.02 * kMm, random, row.readings),
          dial_round(part * turn + hub, 0.02 * kMm, random, row.readings), degrees * kDegree);
      part_x.add(turned->part.x(), part.real());
      part_y.add(turned->part.y(), part.imag());
      hub_x.add(turned->hub.x(), hub.real());
      hub_y.add(turned->hub.y(), hub.imag());
    }
    for (const auto& coverage : {part_x, part_y, hub_x, hub_y}) testing::check_holds(coverage);
  }
}

TEST_CASE("which way the high place went") {
  const auto follows = [](Vector part, Vector hub) {
    const Vector turn = vector_at(1.0, 144.0 * kDegree);
    return runout_turned(read_as(part + hub, 0.01), read_as(part * turn + hub, 0.01),
                         144.0 * kDegree)
        ->follows;
  };
  CHECK(follows({0.4, 0.1}, {0.05, 0.0}) == RunoutFollows::part);
  CHECK(follows({0.05, 0.0}, {-0.3, 0.2}) == RunoutFollows::hub);
  CHECK(follows({0.2, 0.0}, {0.0, 0.2}) == RunoutFollows::both);
  CHECK(follows({0.0, 0.0}, {0.0, 0.0}) == RunoutFollows::nothing);
  for (const double turn : {0.0, kTurn, 0.05, kTurn - 0.05, std::nan("")})
    CHECK(!runout_turned(read_as({1, 0}, 0.1), read_as({0, 1}, 0.1), turn).ok());
}
