// Pushes of faults: worked values with their sources, and laws.
#include "engine/physics/forces.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/physics/hooke.h"
#include "engine/quantity/angle.h"

using namespace perrev;

namespace {

constexpr double kOunce = 0.028349523125, kInch = 0.0254, kMph = 0.44704;

}  // namespace

TEST_CASE("imbalance of wheels at speed") {
  struct Row {
    const char* tire;
    double diameter;  // mm
    double mass, radius, speed, newtons;
  };
  // m r w^2 by hand, the wheel turning at speed / (3.05 diameter) (ETRTO rolling circumference).
  const Row rows[] = {
      {"225/60R16", 676.4, kOunce, 7.5 * kInch, 60 * kMph, 36.04},
      {"225/60R16", 676.4, kOunce / 4, 7.5 * kInch, 60 * kMph, 9.01},
      {"225/60R16", 676.4, kOunce, 7.5 * kInch, 70 * kMph, 49.05},
      {"205/55R16", 631.9, kOunce, 8 * kInch, 60 * kMph, 44.05},
      {"205/55R16", 631.9, 0.010, 0.2032, 100 / 3.6, 16.66},
      {"LT245/75R16", 773.9, kOunce, 8 * kInch, 60 * kMph, 29.37},
      {"11R22.5", 1050.0, 4 * kOunce, 11.25 * kInch, 60 * kMph, 89.74},
  };
  for (const Row& row : rows) {
    CAPTURE(row.tire);
    const double hz = row.speed / (3.05e-3 * row.diameter);
    CHECK(imbalance_force(row.mass * row.radius, hz) == doctest::Approx(row.newtons).epsilon(5e-4));
  }
}

TEST_CASE("force variation and runout of a tire") {
  // Radial force variation is peak to peak: ISO 13326 for the first harmonic of 80 N, 40 N.
  CHECK(force_variation_force(80.0) == 40.0);
  // 200 N/mm and 0.5 mm of total runout: 100 N peak to peak (stiffness times runout).
  CHECK(runout_force(0.5e-3, 200e3) == doctest::Approx(50.0).epsilon(1e-12));
  // 40 N is what 31.5 g at 190.5 mm pushes with at 60 mph on 225/60R16 (m r w^2 by hand).
  CHECK(imbalance_force(0.0315 * 0.1905, 60 * kMph / (3.05 * 0.6764)) ==
        doctest::Approx(40.0).epsilon(2e-3));
}

TEST_CASE("a wheel off its centre is out of round and out of balance") {
  // 20 kg, 0.1 mm: 2000 g mm, 13.3 N at 60 mph, and 0.2 mm of total runout (by hand).
  const double hz = 60 * kMph / (3.05 * 0.6764);
  const EccentricForce force = eccentric_force(0.1e-3, 200e3, 20.0, hz);
  CHECK(force.mass == doctest::Approx(13.3).epsilon(5e-3));
  CHECK(force.mass == doctest::Approx(imbalance_force(2000e-6, hz)).epsilon(1e-12));
  CHECK(force.tire == doctest::Approx(runout_force(0.2e-3, 200e3)).epsilon(1e-12));
}

TEST_CASE("two unbalances are an imbalance and a couple at once") {
  // Two planes: S = U_L + U_R, C = (U_R - U_L) b / 2 about the middle (ISO 21940-11). Each plane's
  // force comes back from both.
  const double hz = 13.0, apart = 0.18;
  for (const double left : {2000e-6, -300e-6, 0.0})
    for (const double right : {1500e-6, 300e-6, -900e-6}) {
      const double sum = imbalance_force(left + right, hz);
      const double couple = couple_moment(0.5 * (right - left), apart, hz);
      CHECK(0.5 * sum + couple / apart == doctest::Approx(imbalance_force(right, hz)));
      CHECK(0.5 * sum - couple / apart == doctest::Approx(imbalance_force(left, hz)));
    }
}

TEST_CASE("centrifugal pushes go with the square of speed, stiffness ones do not") {
  const double hz = 11.0;
  const auto fourfold = [](double fast, double slow) {
    CHECK(fast == doctest::Approx(4.0 * slow).epsilon(1e-12));
  };
  fourfold(imbalance_force(1e-3, 2 * hz), imbalance_force(1e-3, hz));
  fourfold(couple_moment(1e-3, 0.2, 2 * hz), couple_moment(1e-3, 0.2, hz));
  fourfold(shaft_runout_force(1e-3, 8.0, 2 * hz), shaft_runout_force(1e-3, 8.0, hz));
  fourfold(joint_inertia_torque(0.01, 0.05, 2 * hz), joint_inertia_torque(0.01, 0.05, hz));
  const auto slow = eccentric_force(1e-4, 2e5, 20.0, hz);
  const auto fast = eccentric_force(1e-4, 2e5, 20.0, 2 * hz);
  fourfold(fast.mass, slow.mass);
  CHECK(fast.tire == slow.tire);
}

TEST_CASE("a bent shaft pushes with its mass slice by slice") {
  const double total = 0.8e-3, mass = 9.0, hz = 45.0;
  double sum = 0.0;
  const int slices = 10000;
  for (int i = 0; i < slices; ++i) {
    const double off = 0.5 * total * std::sin(0.5 * kTurn * (i + 0.5) / slices);
    sum += imbalance_force(mass / slices * off, hz);
  }
  CHECK(shaft_runout_force(total, mass, hz) == doctest::Approx(sum).epsilon(1e-7));
}

TEST_CASE("what a joint's angle does to inertia and torque") {
  // At small angles the second harmonic is all there is of the acceleration: 3 deg at 3000 rpm,
  // 270.7 rad/s2 (largest over a turn, numpy).
  CHECK(joint_inertia_torque(1.0, 3.0 * kDegree, 50.0) == doctest::Approx(270.7).epsilon(2e-3));
  CHECK(joint_inertia_torque(0.02, 0.04, 30.0) ==
        doctest::Approx(0.02 * hooke_peak_acceleration(0.04, kTurn * 30.0)).epsilon(2e-3));
  CHECK(joint_bending_moment(500.0, 0.0) == 0.0);
  CHECK(joint_bending_moment(500.0, 6.0 * kDegree) == doctest::Approx(52.55).epsilon(1e-3));
}

TEST_CASE("firing orders of four-stroke engines") {
  // Hz at 1800 rpm, by half the cylinders a turn.
  const double rows[][2] = {{3, 45}, {4, 60}, {5, 75}, {6, 90}, {8, 120}};
  for (const auto& [cylinders, hz] : rows)
    CHECK(firing_order(static_cast<int>(cylinders)) * 1800.0 / 60.0 == hz);
}

TEST_CASE("permissible residual unbalance by ISO 21940-11") {
  struct Row {
    double grade, mass, rpm, gram_millimetres;
  };
  // U = 9549 G m / n, ISO 21940-11.
  const Row rows[] = {
      {40, 20, 800, 9549}, {40, 20, 1300, 5876}, {6.3, 20, 800, 1504}, {16, 10, 3000, 509}};
  for (const Row& row : rows)
    CHECK(std::abs(1e6 * permissible_unbalance(row.grade, row.mass, row.rpm) -
                   row.gram_millimetres) < 0.6);
  // A grade is the speed of the centre of mass in mm/s.
  const double unbalance = permissible_unbalance(6.3, 12.0, 4200.0);
  CHECK(1e3 * unbalance / 12.0 * kTurn * 70.0 == doctest::Approx(6.3).epsilon(1e-12));
}

TEST_CASE("bending critical speed of driveshaft tubes") {
  struct Row {
    double outer, inner, length, rpm;
  };
  // Bernoulli-Euler beam on pinned ends, steel of 206.8 GPa and 7850 kg/m3, by hand.
  const Row rows[] = {{3.5 * kInch, 3.334 * kInch, 60 * kInch, 6393},
                      {3.0 * kInch, 2.87 * kInch, 55 * kInch, 6535},
                      {0.0762, 0.0729, 1.5, 5668}};
  for (const Row& row : rows)
    CHECK(60.0 * critical_speed(row.outer, row.inner, row.length) ==
          doctest::Approx(row.rpm).epsilon(5e-4));
  // Textbooks print 4.705e6 sqrt(D2 + d2) / L2 in inches, 1.2 % lower.
  CHECK(60.0 * critical_speed(3.5 * kInch, 3.334 * kInch, 60 * kInch) ==
        doctest::Approx(4.705e6 * std::hypot(3.5, 3.334) / 3600.0).epsilon(0.015));
  CHECK(critical_speed(0.08, 0.076, 3.0) ==
        doctest::Approx(critical_speed(0.08, 0.076, 1.5) / 4.0).epsilon(1e-12));
  // Half the modulus at half the density is as fast.
  CHECK(critical_speed(0.08, 0.076, 1.5, 70e9, 2700.0) ==
        doctest::Approx(critical_speed(0.08, 0.076, 1.5, 35e9, 1350.0)).epsilon(1e-12));
}
