// Brake rotors: thickness round the turn, wear, and the best place on the hub.
#include "engine/shopmath/rotor.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/runout.h"
#include "tests/engine/shopmath/shapes.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

constexpr double kMm = 1e-3, kUm = 1e-6;

// Thickness with a first and a second harmonic (amplitudes), eight places.
std::vector<double> thickness_round(Vector first, Vector second, double sd,
                                    testing::Trials& random) {
  return testing::readings_of({24.0 * kMm, {first, second}}, testing::even_places(8), random, sd);
}

VectorEstimate face_round(Vector truth, double sd, testing::Trials& random) {
  RunoutReadings of;
  of.readings = testing::readings_of({0.0, {truth}}, testing::even_places(8), random, sd);
  of.gauge = {0.0, sd};
  return read_runout(of)->fit->harmonics[0].vector;
}

}  // namespace

TEST_CASE("thickness variation is highest less lowest reading") {
  const auto rotor = rotor_thickness({{24.000 * kMm, 24.006 * kMm, 24.011 * kMm, 24.009 * kMm,
                                       24.002 * kMm, 23.994 * kMm, 23.991 * kMm, 23.993 * kMm}});
  REQUIRE(rotor.ok());
  CHECK(rotor->variation.value == doctest::Approx(20.0 * kUm).epsilon(1e-9));
  CHECK(rotor->thinnest.value == doctest::Approx(23.991 * kMm).epsilon(1e-12));
  CHECK(!rotor->wear);
}

TEST_CASE("thickness variation and its harmonics hold the truth in 95 %") {
  for (const bool known : {true, false}) {
    CAPTURE(known);
    testing::Trials random(known ? 3 : 4), still(1);
    const Vector first = vector_at(12.0 * kUm, 0.0), second = vector_at(6.0 * kUm, 0.8);
    const double sd = 0.5 * kUm;
    const auto clean = thickness_round(first, second, 0.0, still);
    const double low = *std::min_element(clean.begin(), clean.end());
    const double high = *std::max_element(clean.begin(), clean.end());
    testing::Coverage variation, thinnest, of_first[2], of_second[2], mean;
    for (int i = 0; i < testing::kTrials; ++i) {
      RotorThicknessReadings of{thickness_round(first, second, sd, random)};
      if (known) of.gauge = {0.0, sd};
      const auto rotor = rotor_thickness(of);
      const auto& harmonics = rotor->fit.harmonics;
      of_first[0].add(harmonics[0].vector.x(), first.real());
      of_first[1].add(harmonics[0].vector.y(), first.imag());
      of_second[0].add(harmonics[1].vector.x(), second.real());
      of_second[1].add(harmonics[1].vector.y(), second.imag());
      mean.add(rotor->fit.mean, 24.0 * kMm);
      variation.add(rotor->variation, high - low);
      thinnest.add(rotor->thinnest, low);
    }
    for (const auto& coverage : {of_first[0], of_first[1], of_second[0], of_second[1], mean})
      testing::check_holds(coverage);
    if (known) {
      testing::check_holds(variation);
      testing::check_holds(thinnest);
    } else {
      // Scatter learned from three residuals brings neighbours near the ends: more, never less.
      testing::check_holds_at_least(variation);
      testing::check_holds_at_least(thinnest);
    }
  }
}

TEST_CASE("the stamped minimum, and what scatter leaves open") {
  testing::Trials random(5);
  struct Row {
    double minimum;
    RotorWear wear;
  };
  for (const Row& row : {Row{23.0, RotorWear::above_minimum},
                         {24.0, RotorWear::at_minimum},
                         {25.0, RotorWear::below_minimum}}) {
    CAPTURE(row.minimum);
    RotorThicknessReadings of{thickness_round({}, {}, 2.0 * kUm, random)};
    of.gauge = {0.0, 2.0 * kUm};
    of.minimum = row.minimum * kMm;
    CHECK(*rotor_thickness(of)->wear == row.wear);
  }
}

TEST_CASE("a rotor is never called above its minimum wrongly in more than one of forty") {
  testing::Trials random(6);
  int wrong = 0;
  for (int i = 0; i < testing::kTrials; ++i) {
    RotorThicknessReadings of{
        thickness_round(vector_at(10.0 * kUm, random.even(0.0, 6.0)), {}, 2.0 * kUm, random)};
    of.gauge = {0.0, 2.0 * kUm};
    of.minimum = 24.0 * kMm - 9.0 * kUm;  // the thinnest place lies below
    wrong += *rotor_thickness(of)->wear == RotorWear::above_minimum;
  }
  CHECK(wrong <= testing::kTrials * (0.0275 + testing::for_fewer(0.0275)));
}

TEST_CASE("a rotor's own runout is what is left of it without the hub, at the rotor's radius") {
  // A face that wobbles by an angle runs out in proportion to the radius: geometry.
  testing::Trials random(7);
  testing::Coverage own_x, own_y;
  std::vector<testing::Coverage> left_x(5), left_y(5);
  const Vector hub{8.0 * kUm, -5.0 * kUm}, own{-20.0 * kUm, 25.0 * kUm};
  const double ratio = 130.0 / 60.0;
  for (int i = 0; i < testing::kTrials; ++i) {
    const auto index =
        index_rotor({face_round(own + ratio * hub, 1.0 * kUm, random),
                     face_round(hub, 1.0 * kUm, random), 130.0 * kMm, 60.0 * kMm, 5});
    REQUIRE(index.ok());
    own_x.add(index->own.x(), own.real());
    own_y.add(index->own.y(), own.imag());
    REQUIRE(index->places.size() == 5);
    for (std::size_t k = 0; k < 5; ++k) {
      const Vector left = ratio * hub + own * vector_at(1.0, kTurn * static_cast<double>(k) / 5.0);
      left_x[k].add(index->places[k].left.x(), left.real());
      left_y[k].add(index->places[k].left.y(), left.imag());
    }
  }
  testing::check_holds(own_x);
  testing::check_holds(own_y);
  for (std::size_t k = 0; k < 5; ++k) {
    CAPTURE(k);
    testing::check_holds(left_x[k]);
    testing::check_holds(left_y[k]);
  }
}

TEST_CASE("the best place puts the rotor's high side to the hub's low side") {
  const auto exact = [](Vector value) { return VectorEstimate{value, 1.0, 0.0, 1.0, {1e-9, {}}}; };
  // Alike and in line: half a turn takes all of it away, where there is one.
  for (const int studs : {3, 4, 5, 6, 8, 10}) {
    CAPTURE(studs);
    const Vector hub{20.0 * kUm, 0.0};
    const auto index = index_rotor({exact(2.0 * hub), exact(hub), 0.1, 0.1, studs});
    REQUIRE(index.ok());
    const double turn = index->places[index->best].turn;
    CHECK(std::abs(std::remainder(turn - kTurn / 2.0, kTurn)) <= kTurn / 2.0 / studs + 1e-9);
    const double left = 2.0 * std::abs(hub) * std::abs(std::cos(turn / 2.0));
    CHECK(std::abs(index->places[index->best].left.value) == doctest::Approx(left));
    CHECK(index->gained.value == doctest::Approx(2.0 * std::abs(hub) - left));
    if (studs % 2 == 0) CHECK(left < 1e-12);
    CHECK(index->gained.low > 0.0);
  }
  // At its best already: nothing to gain.
  const auto best = index_rotor({exact({1.0 * kUm, 0.0}), exact({20.0 * kUm, 0.0}), 0.1, 0.1, 5});
  CHECK(best->best == 0);
  CHECK(best->gained.value == 0.0);
}

TEST_CASE("rotors that cannot be are refused in words") {
  const std::vector<double> fine(8, 24.0 * kMm);
  const auto reading = [&](double thickness) {
    auto out = fine;
    out[2] = thickness;
    return out;
  };
  for (const RotorThicknessReadings& of :
       {RotorThicknessReadings{{}}, RotorThicknessReadings{{24 * kMm, 24 * kMm}},
        RotorThicknessReadings{reading(27.0 * kMm)}, RotorThicknessReadings{reading(24.0)},
        RotorThicknessReadings{reading(0.0)}, RotorThicknessReadings{fine, {}, {}, 24.0},
        RotorThicknessReadings{fine, {}, {}, 0.0}, RotorThicknessReadings{fine, {}, {}, 40.0 * kMm},
        RotorThicknessReadings{fine, {0, 1, 2}}, RotorThicknessReadings{fine, {}, {-1e-6, 0.0}}}) {
    const auto rotor = rotor_thickness(of);
    REQUIRE(!rotor.ok());
    CHECK(!rotor.error().right.empty());
  }
  const VectorEstimate any{{1e-5, 0.0}, 1.0, 0.0, 1.0, {1e-6, {}}};
  for (const RotorOnHub& of :
       {RotorOnHub{any, any, 0.0, 0.06, 5}, RotorOnHub{any, any, 0.13, 0.06, 2},
        RotorOnHub{any, any, 0.06, 0.13, 5}, RotorOnHub{any, any, 130.0, 60.0, 5},
        RotorOnHub{any, any, 0.13, 0.06, 13}})
    CHECK(!index_rotor(of).ok());
}
