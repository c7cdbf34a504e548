#include "engine/shopmath/joint_angles.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "engine/physics/hooke.h"
#include "engine/quantity/angle.h"

namespace perrev {
namespace {

constexpr double kSteepestSlope = 45.0 * kDegree, kMostBend = 45.0 * kDegree;
// Accelerations grow without end towards a right angle; no interval is told beyond this.
constexpr double kMostReckoned = 80.0 * kDegree;

// What multiplies each part's slope in a sum of slopes.
struct SlopeWeights {
  std::vector<double> side, plan;
};

Result<std::optional<PlaceMeans>> plan_means(const Driveline& driveline) {
  std::vector<std::vector<double>> places;
  for (const PartSlope& part : driveline.parts)
    if (!part.plan.empty()) places.push_back(part.plan);
  if (places.empty()) return std::optional<PlaceMeans>{};
  if (places.size() < driveline.parts.size())
    return problem("some parts were seen from above and some were not",
                   "a reading from above of every part, or of none");
  auto means = means_of_places(places, driveline.plan_gauge);
  if (!means) return means.error();
  return std::optional<PlaceMeans>(*means);
}

std::optional<Problem> wrong_with_driveline(const Driveline& driveline) {
  if (driveline.parts.size() < 3)
    return problem("there are too few parts for a driveshaft",
                   "slopes of the gearbox output, of each piece of the shaft and of the pinion");
  if (driveline.joints.size() + 1 != driveline.parts.size())
    return problem("joints and parts do not fit one another", "a joint between each two parts");
  for (const PartSlope& part : driveline.parts)
    for (const auto* view : {&part.side, &part.plan})
      for (const double slope : *view)
        if (!(std::fabs(slope) <= kSteepestSlope))
          return problem("a slope is steeper than any driveline",
                         "a slope of 45 degrees or less, from level or from straight back");
  return std::nullopt;
}

Scatter scatter_of_slopes(const JointAngles& of, const SlopeWeights& weights) {
  const Scatter side = of.side.scatter(weights.side);
  return of.plan ? scatter_of_sum(side, of.plan->scatter(weights.plan)) : side;
}

// Weights of `along`'s component of slope differences: a joint's own, times `factor`.
void add_joint_weights(SlopeWeights& weights, std::size_t joint, Vector along, double factor) {
  weights.side[joint + 1] += factor * along.real();
  weights.side[joint] -= factor * along.real();
  weights.plan[joint + 1] += factor * along.imag();
  weights.plan[joint] -= factor * along.imag();
}

Vector bend_of(const std::vector<Vector>& slopes, std::size_t joint) {
  return slopes[joint + 1] - slopes[joint];
}

SlopeWeights no_weights(std::size_t parts) {
  return {std::vector<double>(parts, 0.0), std::vector<double>(parts, 0.0)};
}

JointAngle angle_of_joint(const JointAngles& of, std::size_t joint) {
  auto weights = no_weights(of.slopes.size());
  add_joint_weights(weights, joint, Vector(1.0, 1.0), 1.0);
  JointAngle out;
  out.side = of.side.interval(weights.side);
  if (of.plan) out.plan = of.plan->interval(weights.plan);
  weights = no_weights(of.slopes.size());
  add_joint_weights(weights, joint, direction_of(bend_of(of.slopes, joint)), 1.0);
  out.angle = interval_about(working_angle(of.slopes[joint], of.slopes[joint + 1]),
                             scatter_of_slopes(of, weights));
  out.angle.low = std::max(0.0, out.angle.low);
  return out;
}

void compare_two_joints(JointAngles& of) {
  const Vector first = bend_of(of.slopes, 0), second = bend_of(of.slopes, 1);
  auto weights = no_weights(of.slopes.size());
  add_joint_weights(weights, 0, direction_of(first), 1.0);
  add_joint_weights(weights, 1, direction_of(second), -1.0);
  of.difference = interval_about(of.joints[0].angle.value - of.joints[1].angle.value,
                                 scatter_of_slopes(of, weights));
  AngleMismatch mismatch;
  mismatch.same_way = std::abs(first - second) < std::abs(first + second);
  weights = no_weights(of.slopes.size());
  add_joint_weights(weights, 0, Vector(1.0, 1.0), 1.0);
  add_joint_weights(weights, 1, Vector(1.0, 1.0), mismatch.same_way ? -1.0 : 1.0);
  mismatch.side = of.side.interval(weights.side);
  if (of.plan) mismatch.plan = of.plan->interval(weights.plan);
  of.mismatch = mismatch;
}

Interval equivalent_of(const JointAngles& of, const std::vector<JointSetting>& joints) {
  constexpr double kStep = 1e-5, kNothingLeft = 1e-9;  // rad, rad2
  const Vector sum = left_over(of.slopes, joints);
  const double size = std::abs(sum);
  const auto half_along = [&](Vector along) {
    auto weights = no_weights(of.slopes.size());
    for (std::size_t part = 0; part < of.slopes.size(); ++part) {
      const auto slope_by = [&](Vector step) {
        auto there = of.slopes, back = of.slopes;
        there[part] += step;
        back[part] -= step;
        const Vector change = left_over(there, joints) - left_over(back, joints);
        return (std::conj(along) * change).real() / (2.0 * kStep);
      };
      weights.side[part] = slope_by({kStep, 0.0});
      if (of.plan) weights.plan[part] = slope_by({0.0, kStep});
    }
    return scatter_of_slopes(of, weights).half_width();
  };
  double half = half_along(direction_of(sum));
  // Nothing left over has no direction: that which the readings leave most open.
  if (size < kNothingLeft) half = std::max(half_along({1.0, 0.0}), half_along({0.0, 1.0}));
  // What the straightest joint's own scatter brings by its square, where the slope above is none.
  double square = INFINITY;
  for (std::size_t i = 0; i < of.joints.size(); ++i)
    if (!of.joints[i].constant_velocity)
      square = std::min(square, std::pow(of.joints[i].angle.high - of.joints[i].angle.value, 2));
  if (std::isfinite(square)) half = std::hypot(half, square);
  return {std::sqrt(size), std::sqrt(std::max(0.0, size - half)), std::sqrt(size + half)};
}

Interval acceleration_at(const Interval& angle, double hz) {
  const double speed = kTurn * hz;
  const auto peak = [speed](double of) {
    return hooke_peak_acceleration(std::min(of, kMostReckoned), speed);
  };
  return {peak(angle.value), peak(angle.low), peak(angle.high)};
}

Interval alone_at(const JointAngle& joint, double hz) {
  return joint.constant_velocity ? Interval{} : acceleration_at(joint.angle, hz);
}

}  // namespace

double working_angle(Vector slope, Vector next) {
  const double a = std::tan(slope.real()), b = std::tan(slope.imag());
  const double c = std::tan(next.real()), d = std::tan(next.imag());
  // Directions (1, b, a) and (1, d, c): the size of their cross product over their product.
  return std::atan2(std::sqrt(std::pow(b * c - a * d, 2) + std::pow(a - c, 2) + std::pow(d - b, 2)),
                    1.0 + b * d + a * c);
}

Vector left_over(const std::vector<Vector>& slopes, const std::vector<JointSetting>& joints) {
  std::vector<HookeJoint> crosses;
  double turned = 0.0, plane = 0.0, first_plane = 0.0;
  for (std::size_t i = 0; i < joints.size(); ++i) {
    turned += joints[i].turned;
    if (joints[i].constant_velocity) continue;
    const double own_plane = std::arg(bend_of(slopes, i));
    if (crosses.empty()) first_plane = plane = own_plane;
    crosses.push_back({working_angle(slopes[i], slopes[i + 1]), turned - (own_plane - plane)});
    plane = own_plane;
    turned = 0.0;
  }
  return equivalent_square(crosses) * std::polar(1.0, -2.0 * first_plane);
}

Result<JointAngles> joint_angles(const Driveline& driveline) {
  if (auto wrong = wrong_with_driveline(driveline)) return *wrong;
  std::vector<std::vector<double>> side;
  for (const PartSlope& part : driveline.parts) side.push_back(part.side);
  auto means = means_of_places(side, driveline.side_gauge);
  if (!means) return means.error();
  auto plan = plan_means(driveline);
  if (!plan) return plan.error();
  JointAngles out;
  out.side = *means;
  out.plan = *plan;
  for (std::size_t i = 0; i < side.size(); ++i)
    out.slopes.emplace_back(out.side.means[i], out.plan ? out.plan->means[i] : 0.0);
  std::size_t crosses = 0;
  for (std::size_t i = 0; i < driveline.joints.size(); ++i) {
    out.joints.push_back(angle_of_joint(out, i));
    out.joints.back().constant_velocity = driveline.joints[i].constant_velocity;
    crosses += !driveline.joints[i].constant_velocity;
    if (out.joints.back().angle.value > kMostBend)
      return problem("joint " + std::to_string(i + 1) + " is bent farther than any joint goes",
                     "slopes of one sign rule, so that joints are bent by 45 degrees or less");
  }
  if (crosses == 2 && out.joints.size() == 2) compare_two_joints(out);
  out.equivalent = equivalent_of(out, driveline.joints);
  return out;
}

JointExcitation joint_excitation(const JointAngles& angles, double shaft_hz) {
  return {acceleration_at(angles.equivalent, shaft_hz), alone_at(angles.joints.front(), shaft_hz),
          alone_at(angles.joints.back(), shaft_hz)};
}

double most_working_angle(double shaft_hz) {
  struct Row {
    double rpm, degrees;
  };
  constexpr Row kRows[] = {{2000.0, 9.0}, {3000.0, 6.0}, {4000.0, 4.0}, {5000.0, 3.0}};
  const double rpm = 60.0 * shaft_hz;
  if (rpm <= kRows[0].rpm) return kRows[0].degrees * kDegree;
  for (std::size_t i = 1; i < std::size(kRows); ++i)
    if (rpm <= kRows[i].rpm) {
      const double share = (rpm - kRows[i - 1].rpm) / (kRows[i].rpm - kRows[i - 1].rpm);
      return (kRows[i - 1].degrees + share * (kRows[i].degrees - kRows[i - 1].degrees)) * kDegree;
    }
  return 3.0 * 5000.0 / rpm * kDegree;
}

}  // namespace perrev
