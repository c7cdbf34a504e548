#include "engine/shopmath/joint_shim.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/angle.h"

namespace perrev {
namespace {

constexpr double kMostTurn = 10.0 * kDegree;
constexpr double kMostLever = 1.0;

struct ShimPlan {
  const std::vector<JointSetting>& joints;
  ShimmedEnd end;
  double lever;

  std::vector<Vector> turned(std::vector<Vector> slopes, double by) const {
    const std::size_t last = slopes.size() - 1;
    slopes[end == ShimmedEnd::gearbox ? 0 : last] += by;
    slopes[end == ShimmedEnd::gearbox ? 1 : last - 1] -= by * lever;
    return slopes;
  }
  double left_after(const std::vector<Vector>& slopes, double by) const {
    return std::norm(left_over(turned(slopes, by), joints));
  }
  std::size_t joint() const { return end == ShimmedEnd::gearbox ? 0 : joints.size() - 1; }
};

// Where what is left is least between two turns that have it between them.
double least_between(const ShimPlan& plan, const std::vector<Vector>& slopes, double low,
                     double high) {
  const double golden = 0.5 * (std::sqrt(5.0) - 1.0);
  for (int i = 0; i < 60; ++i) {
    const double near_low = high - golden * (high - low), near_high = low + golden * (high - low);
    if (plan.left_after(slopes, near_low) <= plan.left_after(slopes, near_high))
      high = near_high;
    else
      low = near_low;
  }
  return 0.5 * (low + high);
}

constexpr double kShimStep = 0.1 * kDegree;

double least_turn(const ShimPlan& plan, const std::vector<Vector>& slopes) {
  // Equivalent angles alike to a thousandth of a degree are alike: then the smaller turn.
  const auto worth = [&](double by) {
    const double left = std::pow(plan.left_after(slopes, by), 0.25) / kDegree;
    return std::round(left * 1e3);
  };
  const int steps = static_cast<int>(std::lround(kMostTurn / kShimStep));
  double best = 0.0;
  for (int i = -steps; i <= steps; ++i) {
    const double at = i * kShimStep, here = plan.left_after(slopes, at);
    if (plan.left_after(slopes, at - kShimStep) < here ||
        plan.left_after(slopes, at + kShimStep) < here)
      continue;
    const double found = least_between(plan, slopes, at - kShimStep, at + kShimStep);
    const double better = worth(best) - worth(found);
    if (better > 0.0 || (better == 0.0 && std::fabs(found) < std::fabs(best))) best = found;
  }
  return best;
}

std::optional<Problem> wrong_with_shim(const JointAngles& angles, const ShimPlan& plan) {
  if (plan.joints.size() + 1 != angles.slopes.size() || plan.joints.size() < 2)
    return problem("joints and parts do not fit one another", "a joint between each two parts");
  if (!(plan.lever >= 0.0 && plan.lever <= kMostLever))
    return problem("the joint is farther from where the part turns than the shaft is long",
                   "0 to 1 shaft length");
  if (plan.joints[plan.joint()].constant_velocity)
    return problem("the joint at that end is a constant-velocity joint: its angle leaves nothing",
                   "the other end");
  return std::nullopt;
}

Shim shim_of(const JointAngles& angles, const ShimPlan& plan, const Interval& turn) {
  Shim out;
  out.turn = turn;
  const auto after = plan.turned(angles.slopes, turn.value);
  out.equivalent_after = std::sqrt(std::abs(left_over(after, plan.joints)));
  for (std::size_t i = 0; i + 1 < after.size(); ++i)
    out.angles_after.push_back(working_angle(after[i], after[i + 1]));
  return out;
}

// How `turn_of` slopes scatters, by what each part's slope changes in it.
template <class TurnOf>
Interval turn_interval(const JointAngles& angles, double turn, const TurnOf& turn_of) {
  constexpr double kChange = 1e-4;
  const auto weight = [&](std::size_t part, Vector change) {
    auto there = angles.slopes, back = angles.slopes;
    there[part] += change;
    back[part] -= change;
    return (turn_of(there) - turn_of(back)) / (2.0 * kChange);
  };
  std::vector<double> side, plan;
  for (std::size_t part = 0; part < angles.slopes.size(); ++part) {
    side.push_back(weight(part, {kChange, 0.0}));
    if (angles.plan) plan.push_back(weight(part, {0.0, kChange}));
  }
  const Scatter scatter = angles.side.scatter(side);
  return interval_about(
      turn, angles.plan ? scatter_of_sum(scatter, angles.plan->scatter(plan)) : scatter);
}

}  // namespace

Result<Shim> shim_for_least(const JointAngles& angles, const std::vector<JointSetting>& joints,
                            ShimmedEnd end, double lever) {
  const ShimPlan plan{joints, end, lever};
  if (auto wrong = wrong_with_shim(angles, plan)) return *wrong;
  std::size_t crosses = 0;
  for (const JointSetting& joint : joints) crosses += !joint.constant_velocity;
  if (crosses < 2)
    return problem("there is one cross joint only: nothing undoes what it does",
                   "a wedge that lets it run straight");
  const double turn = least_turn(plan, angles.slopes);
  const Interval said = turn_interval(angles, turn, [&](const std::vector<Vector>& slopes) {
    return least_between(plan, slopes, turn - kShimStep, turn + kShimStep);
  });
  return shim_of(angles, plan, said);
}

Result<Shim> shim_for_joint(const JointAngles& angles, const std::vector<JointSetting>& joints,
                            ShimmedEnd end, double lever, double wanted) {
  const ShimPlan plan{joints, end, lever};
  if (auto wrong = wrong_with_shim(angles, plan)) return *wrong;
  const auto turn_of = [&](const std::vector<Vector>& slopes) {
    const std::size_t joint = plan.joint();
    const double bent = slopes[joint + 1].real() - slopes[joint].real();
    return (end == ShimmedEnd::pinion ? wanted - bent : bent - wanted) / (1.0 + lever);
  };
  return shim_of(angles, plan, turn_interval(angles, turn_of(angles.slopes), turn_of));
}

double shim_thickness(double turn, double distance) { return distance * std::tan(turn); }

}  // namespace perrev
