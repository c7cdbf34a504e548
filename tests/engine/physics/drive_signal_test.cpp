// A drive made up against the frequency response it must show.
#include "engine/physics/drive_signal.h"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>

#include "engine/physics/forces.h"
#include "engine/quantity/angle.h"

using perrev::body_per_force;
using perrev::Drive;
using perrev::drive_signal;
using perrev::DriveFault;
using perrev::DriveSignal;
using perrev::golden_car;
using perrev::imbalance_force;
using perrev::kTurn;

namespace {

constexpr double kTurnsPerMetre = 1.0 / 2.0;
constexpr double kUnbalance = 0.0054;  // kg m: an ounce at the flange

DriveFault imbalance() {
  DriveFault fault;
  fault.turns_per_metre = kTurnsPerMetre;
  fault.force = [](double speed) { return imbalance_force(kUnbalance, speed * kTurnsPerMetre); };
  return fault;
}

Drive steady_drive(double speed) {
  Drive drive;
  drive.car = golden_car();
  drive.speed = [speed](double) { return speed; };
  drive.sample_rate = 400.0;
  drive.samples = 4000;
  drive.seed = 4;
  return drive;
}

// Amplitude and phase of what turns `order` times a turn of the part, over some samples (Hann
// window).
std::complex<double> tracked(const DriveSignal& signal, double order, std::size_t from,
                             std::size_t to) {
  std::complex<double> sum = 0.0;
  const double count = static_cast<double>(to - from);
  for (std::size_t i = from; i < to; ++i) {
    const double window = 1.0 - std::cos(kTurn * static_cast<double>(i - from) / count);
    sum += window * signal.acceleration[i] *
           std::polar(2.0 / count, -kTurn * order * kTurnsPerMetre * signal.distance[i]);
  }
  return sum;
}

}  // namespace

TEST_CASE("a fault's line stands at its order, as large as the car lets it through") {
  for (const double speed : {10.0, 20.0, 26.0, 40.0}) {
    CAPTURE(speed);
    Drive drive = steady_drive(speed);
    drive.faults.push_back(imbalance());
    const DriveSignal signal = drive_signal(drive);
    REQUIRE(signal.acceleration.size() == drive.samples);
    const double hz = speed * kTurnsPerMetre;
    const auto exact = imbalance_force(kUnbalance, hz) * body_per_force(drive.car, hz);
    CHECK(std::abs(tracked(signal, 1.0, 0, 4000) - exact) < 2e-3 * std::abs(exact));
    for (const double order : {0.5, 1.5, 2.0, 3.0})
      CHECK(std::abs(tracked(signal, order, 0, 4000)) < 2e-3 * std::abs(exact));
    // From the first sample on, with its phase.
    for (std::size_t i = 0; i < 4000; ++i) {
      const double due =
          std::real(exact * std::polar(1.0, kTurn * kTurnsPerMetre * signal.distance[i]));
      CHECK(std::abs(signal.acceleration[i] - due) < 2e-3 * std::abs(exact));
    }
  }
}

TEST_CASE("a fault keeps its order and follows the resonance while the speed rises") {
  Drive drive = steady_drive(0.0);
  drive.speed = [](double time) { return 12.0 + 0.2 * time; };  // to 32 m/s in 100 s
  drive.samples = 40000;
  drive.faults.push_back(imbalance());
  const DriveSignal signal = drive_signal(drive);
  CHECK(signal.speed.back() == doctest::Approx(12.0 + 0.2 * 39999 / 400.0).epsilon(1e-12));
  const double end = 39999 / 400.0;
  CHECK(signal.distance.back() == doctest::Approx(12.0 * end + 0.1 * end * end).epsilon(1e-12));
  for (std::size_t from = 0; from + 800 <= 40000; from += 800) {
    const double hz = signal.speed[from + 400] * kTurnsPerMetre;
    CAPTURE(hz);
    const auto exact = imbalance_force(kUnbalance, hz) * body_per_force(drive.car, hz);
    CHECK(std::abs(tracked(signal, 1.0, from, from + 800)) ==
          doctest::Approx(std::abs(exact)).epsilon(0.01).scale(0.0));
  }
}

TEST_CASE("road and faults add up") {
  Drive both = steady_drive(27.0);
  both.roughness = 16e-6;
  DriveFault second = imbalance();
  second.order = 2.0;
  second.phase = 1.1;
  second.force = [](double) { return 30.0; };
  both.faults = {imbalance(), second};
  Drive road = both, faults = both;
  road.faults.clear();
  faults.roughness = 0.0;
  const DriveSignal sum = drive_signal(both), a = drive_signal(road), b = drive_signal(faults);
  double largest = 0.0;
  for (std::size_t i = 0; i < sum.acceleration.size(); ++i)
    largest =
        std::fmax(largest, std::abs(sum.acceleration[i] - a.acceleration[i] - b.acceleration[i]));
  CHECK(largest < 1e-10);
  CHECK(std::abs(tracked(b, 2.0, 0, 4000) -
                 30.0 * std::polar(1.0, 1.1) * body_per_force(both.car, 27.0)) <
        4e-3 * 30.0 * std::abs(body_per_force(both.car, 27.0)));
}

TEST_CASE("the road shakes as its class says, and a seed is a road") {
  Drive drive = steady_drive(100.0 / 3.6);
  drive.roughness = 16e-6;
  drive.samples = 120000;
  const auto signal = drive_signal(drive);
  double sum = 0.0;
  for (const double value : signal.acceleration) sum += value * value;
  // Class A of ISO 8608 under the golden car: 0.453 m/s2 (scipy.integrate); five standard
  // deviations of 300 s.
  CHECK(std::sqrt(sum / static_cast<double>(drive.samples)) ==
        doctest::Approx(0.453).epsilon(0.05).scale(0.0));
  drive.samples = 100;
  const auto once = drive_signal(drive);
  CHECK(once.acceleration == drive_signal(drive).acceleration);
  drive.seed = 5;
  CHECK(once.acceleration != drive_signal(drive).acceleration);
}

TEST_CASE("what is recorded does not depend on how often") {
  Drive often = steady_drive(26.0);
  often.faults.push_back(imbalance());
  often.roughness = 16e-6;
  often.samples = 3001;
  often.sample_rate = 1200.0;
  Drive seldom = often;
  seldom.sample_rate = 300.0;
  seldom.samples = 751;
  const auto fine = drive_signal(often), coarse = drive_signal(seldom);
  for (std::size_t i = 0; i < coarse.acceleration.size(); ++i)
    CHECK(coarse.acceleration[i] == doctest::Approx(fine.acceleration[4 * i]).epsilon(2e-3));
  often.samples = 0;
  CHECK(drive_signal(often).acceleration.empty());
}
