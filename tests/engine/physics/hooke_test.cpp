// Universal joints: tables, limits, and the kinematics put together joint by joint.
#include "engine/physics/hooke.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"

using namespace perrev;

namespace {

// Highest less lowest of d(out)/d(in) over a turn, by differences of the exact lead.
double fluctuation_of(const std::vector<HookeJoint>& joints) {
  double lowest = 0.0, highest = 0.0;
  const int parts = 7200;
  const double width = 1e-4;
  for (int i = 0; i < parts; ++i) {
    const double turn = kTurn * i / parts;
    const double gained =
        (driven_lead(joints, turn + width) - driven_lead(joints, turn - width)) / (2.0 * width);
    lowest = std::fmin(lowest, gained);
    highest = std::fmax(highest, gained);
  }
  return highest - lowest;
}

// The angle of one joint that fluctuates so much: sin b tan b by bisection.
double angle_of(double fluctuation) {
  double low = 0.0, high = 1.5;
  for (int i = 0; i < 60; ++i) {
    const double middle = (low + high) / 2.0;
    (hooke_fluctuation(middle) < fluctuation ? low : high) = middle;
  }
  return low;
}

}  // namespace

TEST_CASE("fluctuation of a joint, angle error and second harmonic") {
  struct Row {
    double degrees, fluctuation, error, harmonic;
  };
  // sin b tan b; asin(tan2(b/2)) in degrees; 2 tan2(b/2): closed forms of w2/w1, by hand.
  const Row rows[] = {
      {1, 0.000305, 0.00436, 0.000152},
      {2, 0.001219, 0.01746, 0.000609},
      {3, 0.002743, 0.03929, 0.001371},
      {4, 0.004878, 0.06987, 0.002439},
      {5, 0.007625, 0.10922, 0.003813},
      {6, 0.010986, 0, 0},
      {8, 0.019560, 0, 0},
      {10, 0.030619, 0, 0},
      {15, 0.069350, 0, 0},
      {30, 0.288675, 0, 0},
  };
  for (const Row& row : rows) {
    CAPTURE(row.degrees);
    const double angle = row.degrees * kDegree;
    CHECK(std::abs(hooke_fluctuation(angle) - row.fluctuation) <= 5.1e-7);
    double error = 0.0, highest = 0.0, lowest = 9.0;
    for (int i = 0; i < 3600; ++i) {
      const double turn = kTurn * i / 3600.0;
      error = std::fmax(error, std::abs(hooke_driven_turn(angle, turn) - turn));
      highest = std::fmax(highest, hooke_speed_ratio(angle, turn));
      lowest = std::fmin(lowest, hooke_speed_ratio(angle, turn));
    }
    CHECK(highest == doctest::Approx(1.0 / std::cos(angle)).epsilon(1e-12));
    CHECK(lowest == doctest::Approx(std::cos(angle)).epsilon(1e-12));
    CHECK(highest - lowest == doctest::Approx(hooke_fluctuation(angle)).epsilon(1e-9));
    if (row.error == 0.0) continue;
    CHECK(std::abs(error / kDegree - row.error) <= 6e-6);
    CHECK(std::abs(hooke_harmonic(angle, 2) - row.harmonic) <= 6e-7);
  }
}

TEST_CASE("the driven side's turn keeps the tangent relation and has the speed for its slope") {
  for (const double angle : {0.02, 0.3, 1.2})
    for (double turn = -7.0; turn < 7.0; turn += 0.173) {
      CAPTURE(turn);
      const double driven = hooke_driven_turn(angle, turn);
      // tan t2 = tan t1 / cos b, without its poles.
      CHECK(std::abs(std::sin(driven) * std::cos(turn) * std::cos(angle) -
                     std::cos(driven) * std::sin(turn)) < 1e-14);
      CHECK(std::abs(driven - turn) < kTurn / 4.0);
      const double width = 1e-5;
      const double slope =
          (hooke_driven_turn(angle, turn + width) - hooke_driven_turn(angle, turn - width)) /
          (2.0 * width);
      CHECK(slope == doctest::Approx(hooke_speed_ratio(angle, turn)).epsilon(1e-7));
    }
}

TEST_CASE("harmonics are those of the speed ratio, and hold all of it") {
  for (const double angle : {-0.1, 0.05, 0.6, 1.2}) {
    const int parts = 4096;
    double mean_square = 0.0, of_harmonics = 1.0;
    for (const int n : {0, 1, 2, 3, 4, 6}) {
      double sum = 0.0;
      for (int i = 0; i < parts; ++i) {
        const double turn = kTurn * i / parts;
        sum += hooke_speed_ratio(angle, turn) * std::cos(n * turn) * (n == 0 ? 1.0 : 2.0) / parts;
      }
      CHECK(hooke_harmonic(angle, n) == doctest::Approx(sum).epsilon(1e-11));
    }
    for (int i = 0; i < parts; ++i)
      mean_square += std::pow(hooke_speed_ratio(angle, kTurn * i / parts), 2) / parts;
    for (int n = 2; n < 200; n += 2) of_harmonics += 0.5 * std::pow(hooke_harmonic(angle, n), 2);
    CHECK(of_harmonics == doctest::Approx(mean_square).epsilon(1e-10));
  }
  CHECK(hooke_harmonic(9.0 * kDegree, 4) < 1e-4);
}

TEST_CASE("highest angular acceleration of the driven side") {
  struct Row {
    double degrees, rpm, expected;  // rad/s2
  };
  // Largest of w2 cos b sin2 b sin 2t / (1 - sin2 b cos2 t)2 over a fine grid of t, by numpy.
  const Row rows[] = {{3, 3000, 270.7}, {3, 1500, 67.7}, {2, 2500, 83.5}, {1, 3000, 30.1}};
  for (const Row& row : rows)
    CHECK(std::abs(hooke_peak_acceleration(row.degrees * kDegree, kTurn * row.rpm / 60.0) -
                   row.expected) < 0.06);
  for (const double angle : {0.05, 0.5, 1.3}) {
    double largest = 0.0;
    for (int i = 0; i < 20000; ++i) {
      const double turn = kTurn * i / 20000.0, sine = std::sin(angle);
      const double below = 1.0 - std::pow(sine * std::cos(turn), 2);
      largest = std::fmax(largest,
                          std::cos(angle) * sine * sine * std::sin(2.0 * turn) / (below * below));
    }
    CHECK(hooke_peak_acceleration(angle, 10.0) == doctest::Approx(100.0 * largest).epsilon(1e-5));
  }
}

TEST_CASE("two joints, and what they leave over") {
  struct Row {
    double first, second, phase;  // degrees
    double rule, exact;           // equivalent angle by the rule, and that the motion shows
  };
  // sqrt(b1^2 -+ b2^2) of any textbook of shafts; exact: motion of both joints put together by
  // numpy.
  const Row rows[] = {{6, 5, 0, 3.3166, 3.321}, {6, 5, 90, 7.8102, 7.804}, {6, 6, 0, 0.0, 0.0}};
  for (const Row& row : rows) {
    CAPTURE(row.phase);
    const std::vector<HookeJoint> joints{{row.first * kDegree, 0.0},
                                         {row.second * kDegree, row.phase * kDegree}};
    CHECK(std::abs(equivalent_angle(joints) / kDegree - row.rule) < 1e-4);
    CHECK(std::abs(angle_of(fluctuation_of(joints)) / kDegree - row.exact) < 6e-4);
  }
}

TEST_CASE("joints in a row: the rule holds to the fourth power of the angles") {
  const std::vector<HookeJoint> three{{0.03, 1.7}, {0.05, 0.4}, {0.04, -0.9}};
  CHECK(angle_of(fluctuation_of(three)) == doctest::Approx(equivalent_angle(three)).epsilon(0.004));
  // The first joint's phase counts for nothing, half turns neither.
  auto turned = three;
  turned[0].phase = 0.2;
  turned[1].phase += kTurn / 2.0;
  CHECK(equivalent_angle(turned) == doctest::Approx(equivalent_angle(three)).epsilon(1e-12));
  CHECK(equivalent_angle({}) == 0.0);
  CHECK(equivalent_angle({{-0.07, 0.0}}) == doctest::Approx(0.07).epsilon(1e-12));
  // Two equal joints with forks in line undo one another at any angle and turn.
  for (double turn = 0.0; turn < kTurn; turn += 0.1)
    CHECK(std::abs(driven_lead({{0.9, 0.0}, {0.9, 0.0}}, turn)) < 1e-14);
}

TEST_CASE("an angle seen from the side and from above") {
  // tan2 b = tan2 side + tan2 above: any handbook of driveshafts.
  CHECK(std::abs(compound_angle(3.0 * kDegree, 2.0 * kDegree) / kDegree - 3.604) < 5e-4);
  CHECK(compound_angle(-0.2, 0.0) == doctest::Approx(0.2).epsilon(1e-12));
  CHECK(compound_angle(0.1, 0.3) == doctest::Approx(compound_angle(0.3, 0.1)).epsilon(1e-12));
}
