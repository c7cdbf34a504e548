// Wedges and shims: what was turned in makes the angles equal, and the turn is held in 95 %.
#include "engine/shopmath/joint_shim.h"

#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

JointAngles angles_of(const std::vector<double>& side, const std::vector<JointSetting>& joints,
                      double sd = 1e-9) {
  Driveline line;
  for (const double slope : side) line.parts.push_back({{slope}, {}});
  line.joints = joints;
  line.side_gauge = {0.0, sd};
  return *joint_angles(line);
}

}  // namespace

TEST_CASE("a shim of the worked example") {
  struct Row {
    const char* what;
    std::vector<double> side;  // degrees
    ShimmedEnd end;
    double lever, turn, after;  // degrees: the turn, and both angles after it
  };
  // Parallel: pinion slope = output slope whatever the shaft does. Bent twice the same way:
  // shaft - output = pinion - shaft. By hand.
  const Row rows[] = {
      {"pinion to parallel", {3, 8, 1}, ShimmedEnd::pinion, 0.0, 2.0, 5.0},
      {"pinion to parallel, joint moves", {3, 8, 1}, ShimmedEnd::pinion, 0.2, 2.0, 4.6},
      {"gearbox to parallel", {3, 8, 1}, ShimmedEnd::gearbox, 0.0, -2.0, 7.0},
      {"gearbox to parallel, joint moves", {3, 8, 1}, ShimmedEnd::gearbox, 0.1, -2.0, 7.2},
      {"pinion bent the same way again", {0, 2, 5}, ShimmedEnd::pinion, 0.0, -1.0, 2.0},
  };
  for (const Row& row : rows) {
    CAPTURE(row.what);
    std::vector<double> side;
    for (const double slope : row.side) side.push_back(slope * kDegree);
    const std::vector<JointSetting> joints(2);
    const auto shim = shim_for_least(angles_of(side, joints), joints, row.end, row.lever);
    REQUIRE(shim.ok());
    CHECK(shim->turn.value / kDegree == doctest::Approx(row.turn).epsilon(1e-4));
    CHECK(shim->equivalent_after / kDegree < 0.02);
    for (const double angle : shim->angles_after)
      CHECK(angle / kDegree == doctest::Approx(row.after).epsilon(1e-4));
  }
}

TEST_CASE("shafts of two pieces: the wedge leaves least over, and nothing where it can") {
  testing::Trials random(41);
  for (int i = 0; i < 200; ++i) {
    std::vector<double> side;
    for (int k = 0; k < 4; ++k) side.push_back(random.even(-0.08, 0.08));
    const std::vector<JointSetting> joints(3);
    const auto angles = angles_of(side, joints);
    const double lever = random.even(0.0, 0.3);
    const auto shim = shim_for_least(angles, joints, ShimmedEnd::pinion, lever);
    REQUIRE(shim.ok());
    for (double turn = -10.0; turn <= 10.0; turn += 0.05) {
      auto turned = angles.slopes;
      turned[3] += turn * kDegree;
      turned[2] -= turn * kDegree * lever;
      const double left = std::sqrt(std::abs(left_over(turned, joints)));
      CHECK(shim->equivalent_after < left + 0.03 * kDegree);
    }
  }
}

TEST_CASE("forks a quarter turn out: no wedge makes up for it, the least is a straight joint") {
  const std::vector<JointSetting> joints{{}, {false, 90.0 * kDegree}};
  const auto angles = angles_of({2.0 * kDegree, 6.0 * kDegree, 4.0 * kDegree}, joints);
  const auto shim = shim_for_least(angles, joints, ShimmedEnd::pinion, 0.0);
  REQUIRE(shim.ok());
  CHECK(shim->turn.value / kDegree == doctest::Approx(2.0).epsilon(1e-3));
  CHECK(shim->equivalent_after / kDegree == doctest::Approx(4.0).epsilon(1e-3));
}

TEST_CASE("beside a double joint the pinion is turned to the angle wanted") {
  const std::vector<JointSetting> joints{{true, 0.0}, {}};
  const auto angles = angles_of({1.0 * kDegree, 10.0 * kDegree, 3.0 * kDegree}, joints);
  // 2 degrees nose down at rest: the pinion's slope is 8.
  const auto shim = shim_for_joint(angles, joints, ShimmedEnd::pinion, 0.0, -2.0 * kDegree);
  REQUIRE(shim.ok());
  CHECK(shim->turn.value / kDegree == doctest::Approx(5.0).epsilon(1e-9));
  CHECK(shim->angles_after[1] / kDegree == doctest::Approx(2.0).epsilon(1e-9));
  const auto moved = shim_for_joint(angles, joints, ShimmedEnd::pinion, 0.25, -2.0 * kDegree);
  CHECK(moved->angles_after[1] / kDegree == doctest::Approx(2.0).epsilon(1e-9));
  CHECK(moved->turn.value / kDegree == doctest::Approx(4.0).epsilon(1e-9));
  CHECK(!shim_for_least(angles, joints, ShimmedEnd::pinion, 0.0).ok());
  CHECK(!shim_for_joint(angles, joints, ShimmedEnd::gearbox, 0.0, 0.0).ok());
  CHECK(!shim_for_joint(angles, joints, ShimmedEnd::pinion, 1.5, 0.0).ok());
  const std::vector<JointSetting> other{{}, {true, 0.0}};
  const auto front = shim_for_joint(angles, other, ShimmedEnd::gearbox, 0.0, 0.5 * kDegree);
  REQUIRE(front.ok());
  CHECK(front->angles_after[0] / kDegree == doctest::Approx(0.5).epsilon(1e-9));
}

TEST_CASE("a shim's thickness is its distance times the tangent") {
  CHECK(shim_thickness(1.0 * kDegree, 0.1) == doctest::Approx(0.0017455).epsilon(1e-4));
}

TEST_CASE("the turn of a shim holds what is true in 95 %") {
  testing::Trials random(43);
  testing::Coverage least, wanted;
  for (int i = 0; i < testing::kTrials; ++i) {
    const double output = random.even(-4.0, 4.0) * kDegree, sd = 0.1 * kDegree;
    const double shaft = output + random.even(3.0, 6.0) * kDegree;
    std::vector<double> side{output, shaft, output + random.even(-2.0, 2.0) * kDegree};
    const double lever = random.even(0.0, 0.3);
    const double truth = side[0] - side[2], to_straight = (side[1] - side[2]) / (1.0 + lever);
    for (double& slope : side) slope += random.normal(sd);
    const std::vector<JointSetting> joints(2);
    const auto angles = angles_of(side, joints, sd);
    least.add(shim_for_least(angles, joints, ShimmedEnd::pinion, lever)->turn, truth);
    wanted.add(shim_for_joint(angles, joints, ShimmedEnd::pinion, lever, 0.0)->turn, to_straight);
  }
  testing::check_holds(least);
  testing::check_holds(wanted);
}
