// Circumferences of four tires: differences, limits, slip and beat against worked examples.
#include "engine/shopmath/circumferences.h"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

#include "engine/vehicle/beating.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

std::array<std::vector<double>, kWheels> once(const std::array<double, kWheels>& round) {
  std::array<std::vector<double>, kWheels> out;
  for (std::size_t i = 0; i < kWheels; ++i) out[i] = {round[i]};
  return out;
}

std::array<TireOnWheel, kWheels> fitted(const char* size,
                                        const std::array<double, kWheels>& tread) {
  std::array<TireOnWheel, kWheels> out;
  for (std::size_t i = 0; i < kWheels; ++i) {
    out[i].tire = *parse_tire(size);
    out[i].state.tread_depth = tread[i];
  }
  return out;
}

}  // namespace

TEST_CASE("differences of taped circumferences are those of the tape") {
  const auto found = circumference_differences(once({2.020, 2.010, 2.000, 1.990}), {0.001, 0.001});
  REQUIRE(found.ok());
  CHECK(found->between_axles.value == doctest::Approx(0.020 / 2.005).epsilon(1e-9));
  CHECK(found->across_front.value == doctest::Approx(0.010 / 2.015).epsilon(1e-9));
  CHECK(found->across_rear.value == doctest::Approx(0.010 / 1.995).epsilon(1e-9));
  CHECK(found->most.value == doctest::Approx(0.030 / 2.005).epsilon(1e-9));
  CHECK(found->larger == WheelPlace::front_left);
  CHECK(found->smaller == WheelPlace::rear_right);
  CHECK(found->mean == doctest::Approx(2.005).epsilon(1e-9));
}

TEST_CASE("left and right changed over turn the signs, and nothing else") {
  const auto one = circumference_differences(once({2.02, 2.01, 2.00, 1.99}), {0.001, 0.001});
  const auto other = circumference_differences(once({2.01, 2.02, 1.99, 2.00}), {0.001, 0.001});
  CHECK(one->across_front.low == doctest::Approx(-other->across_front.high).epsilon(1e-12));
  CHECK(one->across_rear.high == doctest::Approx(-other->across_rear.low).epsilon(1e-12));
  CHECK(one->between_axles.high == doctest::Approx(other->between_axles.high).epsilon(1e-12));
  CHECK(one->most.value == doctest::Approx(other->most.value).epsilon(1e-12));
  CHECK(other->larger == WheelPlace::front_right);
}

TEST_CASE("limits of tread that the trade states are these shares of the way round") {
  struct Row {
    double thirty_seconds, share;
  };
  // 2 depth / diameter on 700 mm: 3/32 in is 0.7 %, 1 % is 4.4/32 in (common practice states both).
  for (const Row& row : {Row{3.0, 0.0068}, {4.4, 0.00998}})
    CHECK(std::abs(difference_by_tread(row.thirty_seconds * kThirtySecond, 0.7) - row.share) <
          2e-5);
}

TEST_CASE("worn tires roll less far: the sign and the size of what tread says") {
  const auto found = circumference_differences(fitted("225/60R16", {0.008, 0.008, 0.004, 0.004}));
  REQUIRE(found.ok());
  CHECK(found->between_axles.value > 0.0);
  CHECK(found->between_axles.value < difference_by_tread(0.004, 0.6764));
  CHECK(found->between_axles.low < found->between_axles.value);
  CHECK(found->across_front.value == doctest::Approx(0.0));
  const auto turned = circumference_differences(fitted("225/60R16", {0.004, 0.004, 0.008, 0.008}));
  CHECK(turned->between_axles.low == doctest::Approx(-found->between_axles.high).epsilon(1e-9));
}

TEST_CASE("two wheels beat as worked examples say") {
  struct Row {
    double difference, wheel_hz, seconds;
  };
  // f_beat = f x difference. 0.5 % at 14.413 Hz: 13.9 s; 0.316 % (1 mm of tread on 632 mm): 22 s;
  // 1 % at 13 Hz: 7.7 s.
  for (const Row& row : {Row{0.005, 14.413, 13.9}, {0.00316, 14.413, 22.0}, {0.01, 13.0, 7.7}}) {
    const auto beat = wheel_beat({row.difference, 0.9 * row.difference, 1.1 * row.difference},
                                 27.78 / row.wheel_hz, 27.78);
    CHECK(beat.period.value == doctest::Approx(row.seconds).epsilon(0.005));
    CHECK(beat.period.low < beat.period.value);
    CHECK(beat.period.high == doctest::Approx(1.0 / beat.hz.low).epsilon(1e-12));
  }
  const auto unsure = wheel_beat({0.001, -0.001, 0.003}, 2.0, 25.0);
  CHECK(unsure.hz.low == 0.0);
  CHECK(std::isinf(unsure.period.high));
  const auto back = wheel_beat({-0.001, -0.003, 0.001}, 2.0, 25.0);
  CHECK(back.hz.high == doctest::Approx(unsure.hz.high).epsilon(1e-12));
}

TEST_CASE("a coupling slips by what the axles turn differently") {
  const auto found = circumference_differences(once({2.01, 2.01, 1.99, 1.99}), {0.001, 0.001});
  // Each shaft on its own: speed / circumference x ratio.
  const double expected = 30.0 / 2.01 * 3.7 - 30.0 / 1.99 * 3.7;
  const Interval slip = coupling_slip(*found, 30.0, 3.7);
  CHECK(slip.value == doctest::Approx(expected).epsilon(1e-4));
  CHECK(slip.low < slip.value);
  CHECK(slip.value < slip.high);
}

TEST_CASE("circumferences that say nothing are refused in words") {
  const ReadingGauge tape{0.001, 0.001};
  CHECK(!circumference_differences(once({2.0, 2.0, 2.0, 0.65}), tape).ok());
  const double none = std::numeric_limits<double>::quiet_NaN();
  CHECK(!circumference_differences(once({2.0, none, 2.0, 2.0}), tape).ok());
  auto missing = once({2.0, 2.0, 2.0, 2.0});
  missing[2].clear();
  CHECK(!circumference_differences(missing, tape).ok());
  CHECK(!circumference_differences(once({2.0, 2.0, 2.0, 2.0}), {0.001, std::nullopt}).ok());
  auto unknown = fitted("225/60R16", {});
  for (auto& wheel : unknown) wheel.state.tread_depth.reset();
  const auto refused = circumference_differences(unknown);
  REQUIRE(!refused.ok());
  CHECK(refused.error().what.find("nothing is known") != std::string::npos);
}

namespace {

void circumference_trials(std::uint64_t seed, std::size_t times, bool known) {
  testing::Trials random(seed);
  testing::Coverage axles, front, rear, slip;
  for (int i = 0; i < testing::kTrials; ++i) {
    const double sd = random.even(0.001, 0.004);
    std::array<double, kWheels> truth{};
    std::array<std::vector<double>, kWheels> readings;
    for (std::size_t k = 0; k < kWheels; ++k) {
      truth[k] = random.even(1.98, 2.02);
      for (std::size_t n = 0; n < times; ++n) readings[k].push_back(truth[k] + random.normal(sd));
    }
    const auto said = circumference_differences(
        readings, {0.0, known ? std::optional<double>(sd) : std::nullopt});
    REQUIRE(said.ok());
    const auto relative = [](double one, double other) {
      return 2.0 * (one - other) / (one + other);
    };
    axles.add(said->between_axles, relative(truth[0] + truth[1], truth[2] + truth[3]));
    front.add(said->across_front, relative(truth[0], truth[1]));
    rear.add(said->across_rear, relative(truth[2], truth[3]));
    const double turns = 25.0 * 4.1;
    slip.add(coupling_slip(*said, 25.0, 4.1),
             turns * (2.0 / (truth[0] + truth[1]) - 2.0 / (truth[2] + truth[3])));
  }
  for (const auto& of : {axles, front, rear, slip}) testing::check_holds(of);
}

}  // namespace

TEST_CASE("differences round the tires hold what is true in 95 %, the tape known") {
  circumference_trials(53, 1, true);
}

TEST_CASE("differences round the tires hold what is true in 95 %, the scatter learned") {
  circumference_trials(59, 2, false);
}
