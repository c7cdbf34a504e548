// How often the intervals of joint angles hold what is true.
#include <doctest/doctest.h>

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/joint_angles.h"
#include "tests/engine/shopmath/trials.h"

using namespace perrev;

namespace {

struct AngleTrials {
  testing::Coverage first_side, second_side, first_plan, second_plan, first, second, difference,
      mismatch_side, mismatch_plan, equivalent;
  void check() const {
    for (const auto* of : {&first_side, &second_side, &first_plan, &second_plan, &first, &second,
                           &difference, &mismatch_side, &mismatch_plan, &equivalent}) {
      CAPTURE(of - &first_side);
      testing::check_holds(*of);
    }
  }
};

// Drivelines with both angles well clear of zero, each part read `times` times.
AngleTrials angle_trials(std::uint64_t seed, std::size_t times, bool known) {
  testing::Trials random(seed);
  AngleTrials out;
  for (int i = 0; i < testing::kTrials; ++i) {
    const double shaft = random.even(-6.0, 6.0);
    std::vector<Vector> slopes(3);
    slopes[1] = Vector(shaft, random.even(-1.0, 1.0)) * kDegree;
    slopes[0] = slopes[1] - std::polar(random.even(1.5, 6.0) * kDegree, random.even(0.0, kTurn));
    slopes[2] = slopes[1] + std::polar(random.even(1.5, 6.0) * kDegree, random.even(0.0, kTurn));
    const double step = 0.1 * kDegree, side_sd = random.even(0.05, 0.15) * kDegree;
    const double plan_sd = random.even(0.05, 0.15) * kDegree;
    Driveline line;
    line.side_gauge = {known ? step : 0.0, known ? std::optional<double>(side_sd) : std::nullopt};
    line.plan_gauge = {known ? step : 0.0, known ? std::optional<double>(plan_sd) : std::nullopt};
    line.joints.resize(2);
    const auto read_as = [&](double truth, double sd) {
      const double reading = truth + random.normal(sd);
      return known ? step * std::round(reading / step) : reading;
    };
    for (const Vector slope : slopes) {
      PartSlope part;
      for (std::size_t k = 0; k < times; ++k) {
        part.side.push_back(read_as(slope.real(), side_sd));
        part.plan.push_back(read_as(slope.imag(), plan_sd));
      }
      line.parts.push_back(part);
    }
    const auto said = joint_angles(line);
    REQUIRE(said.ok());
    const Vector first = slopes[1] - slopes[0], second = slopes[2] - slopes[1];
    const double one = working_angle(slopes[0], slopes[1]);
    const double other = working_angle(slopes[1], slopes[2]);
    out.first_side.add(said->joints[0].side, first.real());
    out.second_side.add(said->joints[1].side, second.real());
    out.first_plan.add(*said->joints[0].plan, first.imag());
    out.second_plan.add(*said->joints[1].plan, second.imag());
    out.first.add(said->joints[0].angle, one);
    out.second.add(said->joints[1].angle, other);
    out.difference.add(*said->difference, one - other);
    const Vector left = said->mismatch->same_way ? first - second : first + second;
    out.mismatch_side.add(said->mismatch->side, left.real());
    out.mismatch_plan.add(*said->mismatch->plan, left.imag());
    out.equivalent.add(said->equivalent, std::sqrt(std::abs(left_over(slopes, line.joints))));
  }
  return out;
}

}  // namespace

TEST_CASE("angles and their difference hold what is true in 95 %, the gauge known") {
  angle_trials(31, 1, true).check();
}

TEST_CASE("angles and their difference hold what is true in 95 %, the scatter learned") {
  angle_trials(37, 3, false).check();
}
