// Joint angles: the joints' own geometry in space, worked examples, limits.
#include "engine/shopmath/joint_angles.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "engine/physics/hooke.h"
#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

using Space = std::array<double, 3>;  // rear, right, down

Space cross(const Space& a, const Space& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
double dot(const Space& a, const Space& b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
Space unit(const Space& of) {
  const double size = std::sqrt(dot(of, of));
  return {of[0] / size, of[1] / size, of[2] / size};
}

// A part in space and the place of a fork's arm round it, from down towards the right.
struct Axis {
  Space along, down, right;
  explicit Axis(Vector slope)
      : along(unit({1.0, std::tan(slope.imag()), std::tan(slope.real())})),
        down(unit({-along[2] * along[0], -along[2] * along[1], 1.0 - along[2] * along[2]})),
        right(cross(down, along)) {}
  Space arm(double turn) const {
    Space out{};
    for (std::size_t i = 0; i < 3; ++i)
      out[i] = std::cos(turn) * down[i] + std::sin(turn) * right[i];
    return out;
  }
  double turn_of(const Space& arm_there) const {
    return std::atan2(dot(arm_there, right), dot(arm_there, down));
  }
};

// Turn of the last part for the turn of the first: each cross has its arms at right angles.
double last_turn(const std::vector<Vector>& slopes, const std::vector<JointSetting>& joints,
                 double turn) {
  double at = turn;
  for (std::size_t i = 0; i < joints.size(); ++i) {
    const Axis part(slopes[i]), next(slopes[i + 1]);
    if (i > 0) at += joints[i].turned;
    at = next.turn_of(unit(cross(part.arm(at), next.along)));
  }
  return at;
}

// The single angle whose speed ratio goes up and down as much, over a turn in small steps.
double angle_seen(const std::vector<Vector>& slopes, const std::vector<JointSetting>& joints) {
  double least = 2.0, most = 0.0;
  constexpr double kWidth = 1e-4;
  for (int i = 0; i < 2000; ++i) {
    const double turn = kTurn * i / 2000.0;
    const double gained = std::remainder(
        last_turn(slopes, joints, turn + kWidth) - last_turn(slopes, joints, turn - kWidth), kTurn);
    least = std::fmin(least, gained / (2.0 * kWidth));
    most = std::fmax(most, gained / (2.0 * kWidth));
  }
  return std::sqrt(most - least);  // sin b tan b, to b2
}

Driveline read(const std::vector<Vector>& slopes, double resolution, double repeatability,
               std::vector<JointSetting> joints = {}) {
  Driveline out;
  for (const Vector slope : slopes) out.parts.push_back({{slope.real()}, {slope.imag()}});
  out.joints = std::move(joints);
  out.joints.resize(slopes.size() - 1);
  out.side_gauge = out.plan_gauge = {resolution, repeatability};
  return out;
}

std::vector<Vector> in_degrees(const std::vector<double>& side) {
  std::vector<Vector> out;
  for (const double slope : side) out.emplace_back(slope * kDegree, 0.0);
  return out;
}

}  // namespace

TEST_CASE("a working angle is that between the parts in space") {
  // tan2 b = tan2 side + tan2 above, any handbook of driveshafts: 3 and 2 degrees are 3.604.
  CHECK(std::abs(working_angle({0.0, 0.0}, {3.0 * kDegree, 2.0 * kDegree}) / kDegree - 3.604) <
        5e-4);
  testing::Trials random(3);
  for (int i = 0; i < 200; ++i) {
    const Vector one(random.even(-0.5, 0.5), random.even(-0.5, 0.5));
    const Vector other(random.even(-0.5, 0.5), random.even(-0.5, 0.5));
    CHECK(std::cos(working_angle(one, other)) ==
          doctest::Approx(dot(Axis(one).along, Axis(other).along)).epsilon(1e-12));
    CHECK(working_angle(one, other) == doctest::Approx(working_angle(other, one)).epsilon(1e-12));
    CHECK(working_angle({}, other) ==
          doctest::Approx(compound_angle(other.real(), other.imag())).epsilon(1e-12));
    CHECK(working_angle(one, one) == 0.0);
  }
}

TEST_CASE("equivalent angle of two joints as handbooks give it") {
  struct Row {
    const char* what;
    std::vector<double> slopes;  // degrees: gearbox output, shaft, pinion
    double turned;
    double difference, equivalent;  // degrees
  };
  // sqrt(b1^2 -+ b2^2) of any textbook of shafts.
  const Row rows[] = {
      {"6 and 5, parts bent one way and back", {2, 8, 3}, 0, 1, 3.3166},
      {"6 and 5, bent twice the same way", {2, 8, 13}, 0, 1, 3.3166},
      {"6 and 5, forks a quarter turn out", {2, 8, 3}, 90, 1, 7.8102},
      {"output and pinion parallel", {3, 9, 3}, 0, 0, 0.0},
      {"output and pinion parallel, uphill", {-3, -9, -3}, 180, 0, 0.0},
      {"the shaft in line with the output", {4, 4, 1}, 0, -3, 3.0},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    const auto found =
        joint_angles(read(in_degrees(row.slopes), 0.0, 1e-9, {{}, {false, row.turned * kDegree}}));
    REQUIRE(found.ok());
    CHECK(std::abs(found->difference->value / kDegree - row.difference) < 1e-9);
    CHECK(std::abs(found->equivalent.value / kDegree - row.equivalent) < 5e-4);
    CHECK(std::abs(std::abs(found->mismatch->side.value / kDegree) - std::abs(row.difference)) <
          1e-9);
    CHECK(std::abs(found->mismatch->plan->value) < 1e-9);
  }
}

TEST_CASE("what is left over is what joints in space do, in any planes and with any forks") {
  testing::Trials random(5);
  for (int i = 0; i < 60; ++i) {
    const std::size_t parts = 3 + random.below(3);
    std::vector<Vector> slopes;
    for (std::size_t k = 0; k < parts; ++k)
      slopes.emplace_back(random.even(-0.06, 0.06), random.even(-0.06, 0.06));
    std::vector<JointSetting> joints(parts - 1);
    for (auto& joint : joints) joint.turned = random.even(-2.0, 2.0);
    const double rule = std::sqrt(std::abs(left_over(slopes, joints)));
    double largest = 0.0;
    for (std::size_t k = 0; k + 1 < parts; ++k)
      largest = std::fmax(largest, working_angle(slopes[k], slopes[k + 1]));
    // To the fourth power of the angles: squares differ by a share of the largest one's square.
    const double seen = angle_seen(slopes, joints);
    CHECK(std::abs(seen * seen - rule * rule) < 3.0 * std::pow(largest, 4) + 1e-6);
  }
}

TEST_CASE("a constant-velocity joint leaves nothing over and the joint beside it all of its own") {
  const auto slopes = in_degrees({1, 9, 8});
  const auto found = joint_angles(read(slopes, 0.0, 1e-9, {{true, 0.0}, {false, 1.2}}));
  REQUIRE(found.ok());
  CHECK(found->equivalent.value == doctest::Approx(1.0 * kDegree).epsilon(1e-9));
  CHECK(!found->difference);
  CHECK(!found->mismatch);
  const auto excited = joint_excitation(*found, 50.0);
  CHECK(excited.driving.value == 0.0);
  CHECK(excited.driven.value == doctest::Approx(excited.torsional.value).epsilon(1e-9));
}

TEST_CASE("accelerations at a shaft speed") {
  struct Row {
    double degrees, rpm, expected;
  };
  // w2 cos b sin2 b sin 2t / (1 - sin2 b cos2 t)2 at its largest, on a fine grid by numpy.
  for (const Row& row : {Row{3, 3000, 270.7}, {3, 1500, 67.7}, {2, 2500, 83.5}, {1, 3000, 30.1}}) {
    const auto found = joint_angles(read(in_degrees({0, row.degrees, row.degrees}), 0.0, 1e-9));
    REQUIRE(found.ok());
    const auto excited = joint_excitation(*found, row.rpm / 60.0);
    CHECK(std::abs(excited.torsional.value - row.expected) < 0.06);
    CHECK(std::abs(excited.driving.value - row.expected) < 0.06);
    CHECK(excited.driven.value < 1e-6);
  }
}

TEST_CASE("the angle that a joint may have falls with the shaft's speed") {
  // About 3 degrees at 5000 rpm, 4 at 4000, 6 at 3000, 9 at 2000: from memory, truck practice.
  struct Row {
    double rpm, degrees;
  };
  for (const Row& row : {Row{500, 9}, {2000, 9}, {2500, 7.5}, {3000, 6}, {4000, 4}, {5000, 3}})
    CHECK(most_working_angle(row.rpm / 60.0) / kDegree == doctest::Approx(row.degrees));
  for (double hz = 1.0; hz < 200.0; hz += 1.0)
    CHECK(most_working_angle(hz) >= most_working_angle(hz + 1.0));
}

TEST_CASE("readings that are no driveline are refused in words") {
  const auto refused = [](const Driveline& of, const char* word) {
    const auto found = joint_angles(of);
    REQUIRE(!found.ok());
    CHECK(found.error().what.find(word) != std::string::npos);
  };
  const auto sound = read(in_degrees({2, 8, 3}), 0.001, 0.001);
  auto wrong = sound;
  wrong.parts.pop_back();
  refused(wrong, "too few parts");
  wrong = sound;
  wrong.joints.emplace_back();
  refused(wrong, "do not fit");
  wrong = sound;
  wrong.parts[1].side = {8.0};  // degrees in place of radians
  refused(wrong, "steeper");
  wrong = sound;
  wrong.parts[1].plan.clear();
  refused(wrong, "from above");
  wrong = sound;
  wrong.parts[2].side.clear();
  refused(wrong, "no reading");
  wrong = sound;
  wrong.side_gauge.repeatability.reset();
  refused(wrong, "scatter");
}

TEST_CASE("readings that agree to the step say no more than the step") {
  Driveline line;
  for (const double slope : {2.0, 8.0, 3.0})
    line.parts.push_back({{slope * kDegree, slope * kDegree}, {}});
  line.joints.resize(2);
  line.side_gauge = {0.1 * kDegree, std::nullopt};
  const auto found = joint_angles(line);
  REQUIRE(found.ok());
  // 1.96 x 0.1 / sqrt(12), of the difference of two means of two.
  CHECK((found->joints[0].angle.high - found->joints[0].angle.value) / kDegree ==
        doctest::Approx(0.0566).epsilon(0.001));
  CHECK(!found->joints[0].plan);
}
