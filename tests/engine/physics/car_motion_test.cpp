// A corner of a vehicle in time: the golden car as printed, exact steps, energy, steady tones.
#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <vector>

#include "engine/physics/quarter_car.h"
#include "engine/physics/road.h"
#include "engine/quantity/angle.h"
#include "engine/random.h"

using perrev::body_per_force;
using perrev::body_per_road;
using perrev::CarMotion;
using perrev::CarState;
using perrev::golden_car;
using perrev::kTurn;
using perrev::QuarterCar;
using perrev::Random;

namespace {

const QuarterCar kCar{240.0, 36.0, 16000.0, 160000.0, 980.0};

double energy(const QuarterCar& car, const CarState& state) {
  const double apart = state[0] - state[2];
  return 0.5 * (car.sprung * state[1] * state[1] + car.unsprung * state[3] * state[3] +
                car.spring * apart * apart + car.tire * state[2] * state[2]);
}

// Amplitude and phase of the body's acceleration once it is steady, for a unit sine of road or
// force.
std::complex<double> steady(const QuarterCar& car, double hz, bool road) {
  const int per_turn = 64;
  const double step = 1.0 / (hz * per_turn);
  const CarMotion motion(car, step);
  CarState state{};
  std::complex<double> sum = 0.0;
  const int settle = static_cast<int>(30.0 * hz) * per_turn, measured = 8 * per_turn;
  const auto wave = [&](int i) { return std::cos(kTurn * i / per_turn); };
  for (int i = 0; i < settle + measured; ++i) {
    if (i >= settle)
      sum += motion.body_acceleration(state) * std::polar(2.0 / measured, -kTurn * i / per_turn);
    state = motion.advance(state, road ? wave(i) : 0.0, road ? wave(i + 1) : 0.0,
                           road ? 0.0 : wave(i), road ? 0.0 : wave(i + 1));
  }
  // Straight lines between the samples of a sine hold (sin x / x)^2 of it, and harmonics of the
  // sampling that fold on to it.
  return sum;
}

}  // namespace

TEST_CASE("state matrix of the golden car over 0.25 m at 80 km/h") {
  // Sayers, Gillespie and Queiroz, World Bank Technical Paper 46; ASTM E1926.
  const double printed[4][4] = {{0.9966071, 0.01091514, -0.002083274, 0.0003190145},
                                {-0.5563044, 0.9438768, -0.8324718, 0.05064701},
                                {0.02153176, 0.002126763, 0.7508714, 0.008221888},
                                {3.335013, 0.3376467, -39.12762, 0.4347564}};
  const double response[4] = {0.005476107, 1.388776, 0.2275968, 35.79262};
  const CarMotion motion(golden_car(), 0.25 / (80.0 / 3.6));
  const CarState stepped = motion.advance({}, 1.0, 1.0, 0.0, 0.0);
  for (std::size_t i = 0; i < 4; ++i) {
    // Small ones carry the rounding of 1 in single precision.
    CHECK(stepped[i] == doctest::Approx(response[i]).epsilon(3e-7).scale(1.0));
    for (std::size_t j = 0; j < 4; ++j) {
      CAPTURE(i);
      CAPTURE(j);
      CHECK(motion.transition()[i][j] == doctest::Approx(printed[i][j]).epsilon(1e-6).scale(0.0));
    }
  }
}

TEST_CASE("the transition has the poles of the car") {
  const double step = 0.01;
  const QuarterCar car = golden_car();
  // Damped poles of the golden car by numpy.roots: 1.2363 Hz at 0.3334 of critical, 10.7554 Hz at
  // 0.3020.
  double trace = 0.0, expected = 0.0;
  const double poles[][2] = {{1.2363, 0.3334}, {10.7554, 0.3020}};
  for (const auto& [hz, ratio] : poles)
    expected += 2.0 * std::exp(-kTurn * hz * ratio * step) *
                std::cos(kTurn * hz * std::sqrt(1.0 - ratio * ratio) * step);
  const CarMotion motion(car, step);
  for (std::size_t i = 0; i < 4; ++i) trace += motion.transition()[i][i];
  CHECK(trace == doctest::Approx(expected).epsilon(2e-5));
}

TEST_CASE("a step is its two halves, for road and force in straight lines") {
  Random random(5);
  const auto value = [&] { return 2.0 * random.real() - 1.0; };
  for (const QuarterCar& car : {golden_car(), kCar})
    for (const double step : {1e-4, 0.003, 0.05, 0.7}) {
      const CarMotion whole(car, step), half(car, step / 2.0);
      const CarState state{value(), value(), value(), value()};
      const double y0 = value(), y1 = value(), f0 = 1e5 * value(), f1 = 1e5 * value();
      const double y = (y0 + y1) / 2.0, f = (f0 + f1) / 2.0;
      const CarState once = whole.advance(state, y0, y1, f0, f1);
      const CarState twice = half.advance(half.advance(state, y0, y, f0, f), y, y1, f, f1);
      for (std::size_t i = 0; i < 4; ++i)
        CHECK(once[i] == doctest::Approx(twice[i]).epsilon(1e-10).scale(i % 2 == 0 ? 1.0 : 50.0));
    }
}

TEST_CASE("motions add up") {
  const CarMotion motion(kCar, 0.01);
  const CarState a{0.01, -0.2, 0.003, 0.7}, b{-0.02, 0.1, 0.004, -1.0};
  CarState sum{};
  for (std::size_t i = 0; i < 4; ++i) sum[i] = 2.0 * a[i] - 3.0 * b[i];
  const CarState of_sum = motion.advance(sum, 0.02 - 0.03, 0.04 - 0.06, 2.0 * 70.0, -3.0 * 50.0);
  const CarState of_a = motion.advance(a, 0.01, 0.02, 70.0, 0.0);
  const CarState of_b = motion.advance(b, 0.01, 0.02, 0.0, 50.0);
  for (std::size_t i = 0; i < 4; ++i)
    CHECK(of_sum[i] == doctest::Approx(2.0 * of_a[i] - 3.0 * of_b[i]).epsilon(1e-12));
}

TEST_CASE("at rest on a raised road and under a steady force") {
  const CarMotion motion(kCar, 0.01);
  CarState state{};
  for (int i = 0; i < 3000; ++i) state = motion.advance(state, 0.05, 0.05, 320.0, 320.0);
  const double height = 0.05 + 320.0 / kCar.tire;
  CHECK(state[0] == doctest::Approx(height));
  CHECK(state[2] == doctest::Approx(height));
  CHECK(std::abs(state[1]) + std::abs(state[3]) < 1e-9);
  CHECK(std::abs(motion.body_acceleration(state)) < 1e-9);
}

TEST_CASE("energy stays without a damper and falls with one") {
  QuarterCar free = kCar;
  free.damper = 0.0;
  const CarMotion undamped(free, 0.004), damped(kCar, 0.004);
  CarState state{0.02, 0.1, -0.01, 1.0}, falling = state;
  const double begin = energy(free, state);
  for (int i = 0; i < 5000; ++i) {
    state = undamped.advance(state, 0.0, 0.0, 0.0, 0.0);
    const double before = energy(kCar, falling);
    falling = damped.advance(falling, 0.0, 0.0, 0.0, 0.0);
    CHECK(energy(kCar, falling) <= before);
  }
  CHECK(energy(free, state) == doctest::Approx(begin).epsilon(1e-9));
  CHECK(energy(kCar, falling) < 1e-12 * begin);
}

TEST_CASE("steady tones have the frequency response, phase included") {
  for (const QuarterCar& car : {golden_car(), kCar})
    for (const double hz : {2.0, 7.0, 12.5, 25.0}) {
      CAPTURE(hz);
      const double x = kTurn / 128.0, held = std::pow(std::sin(x) / x, 2);
      const auto force = steady(car, hz, false) / held, road = steady(car, hz, true) / held;
      const auto exact = body_per_force(car, hz);
      CHECK(std::abs(force - exact) < 1e-4 * std::abs(exact));
      const auto by_road = -std::pow(kTurn * hz, 2) * body_per_road(car, hz);
      CHECK(std::abs(road - by_road) < 1e-4 * std::abs(by_road));
    }
}

TEST_CASE("a driven road shakes the body as its density says") {
  // Class A at 100 km/h, golden car: 0.453 m/s2 r.m.s. (scipy.integrate). Band 1.2 to 11 Hz over
  // 600 s: a standard deviation of about 1 % of the r.m.s.
  const double speed = 100.0 / 3.6, step = 1.0 / 512.0;
  const auto road = perrev::road_heights(16e-6, speed * step, 307200, 12);
  const CarMotion motion(golden_car(), step);
  CarState state{road[0], 0.0, road[0], 0.0};
  double sum = 0.0;
  std::size_t counted = 0;
  for (std::size_t i = 1; i < road.size(); ++i) {
    state = motion.advance(state, road[i - 1], road[i], 0.0, 0.0);
    if (i < 5120) continue;  // run in
    sum += std::pow(motion.body_acceleration(state), 2);
    ++counted;
  }
  CHECK(std::sqrt(sum / static_cast<double>(counted)) == doctest::Approx(0.453).epsilon(0.04));
}
