// Working angles of a driveshaft's joints from slopes read along the driveline, and what is left
// over when the joints are taken together.
//
// Signs: a slope is positive where the rear end of the part is lower than its front end; seen from
// above, where the rear end is farther to the right. Parts go from the gearbox output over each
// piece of the shaft to the pinion; a joint stands between each two. Slopes are those of the part
// as it is seen from the side and from above, in rad; Hz; rad/s2. Intervals are of 95 %.
//
// The parts of a joint's angle, side and plan, scatter as the readings do, and so do their
// intervals, exactly. The angle itself, sqrt(side2 + plan2) and never negative, does so only where
// it is larger than three times its own uncertainty; nearer to zero, read the parts.
//
// The rule of equivalent angles (engine/physics/hooke.h) takes each joint's square, in its plane
// and with its forks' turn; a constant-velocity joint leaves nothing over. Exact to the fourth
// power of the angles.
#pragma once

#include <optional>
#include <vector>

#include "engine/quantity/angle.h"
#include "engine/result.h"
#include "engine/shopmath/repeated_readings.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

struct PartSlope {
  std::vector<double> side;       // one reading or more
  std::vector<double> plan = {};  // of all parts or of none: none is straight
};

struct JointSetting {
  bool constant_velocity = false;
  // How far its driving fork is turned, clockwise seen from the gearbox, from the driven fork of
  // the joint before; both on one piece. In line (in phase): 0. The first joint's counts for
  // nothing.
  double turned = 0.0;
};

struct Driveline {
  std::vector<PartSlope> parts;      // 3 or more
  std::vector<JointSetting> joints;  // one less than parts
  ReadingGauge side_gauge, plan_gauge;
};

struct JointAngle {
  Interval side;
  std::optional<Interval> plan;
  Interval angle;  // the working angle; low never below 0
  bool constant_velocity = false;
};

// What keeps two cross joints from undoing one another, as the parts that scatter as readings do:
// the first's angle less the second's, or both together where they are bent one way and back.
struct AngleMismatch {
  bool same_way = false;  // both bent the same way, more than one way and back
  Interval side;
  std::optional<Interval> plan;
};

struct JointAngles {
  std::vector<JointAngle> joints;
  // Of two cross joints and no other: the first's angle less the second's.
  std::optional<Interval> difference;
  std::optional<AngleMismatch> mismatch;
  Interval equivalent;
  // What the above was made of: each part's slope (side and plan), and its means.
  std::vector<Vector> slopes;
  PlaceMeans side;
  std::optional<PlaceMeans> plan;
};

Result<JointAngles> joint_angles(const Driveline& driveline);

// Between two parts: exact, by their directions.
double working_angle(Vector slope, Vector next);
// The sum of squares that is left over, rad2, as a vector that turns twice a turn; its size is the
// square of the equivalent angle.
Vector left_over(const std::vector<Vector>& slopes, const std::vector<JointSetting>& joints);

// Highest angular accelerations at a speed of the shaft.
struct JointExcitation {
  Interval torsional;        // of the equivalent angle: what goes on beyond the last joint
  Interval driving, driven;  // of the first and of the last joint alone: the shaft's own mass
};
JointExcitation joint_excitation(const JointAngles& angles, double shaft_hz);

// Usual limits. Common practice; accelerations and the speed's table from memory.
inline constexpr double kLeastWorkingAngle = 0.5 * kDegree;  // or the needles do not roll
inline constexpr double kMostAngleDifference = 1.0 * kDegree;
inline constexpr double kMostEquivalentAngle = 3.0 * kDegree;
inline constexpr double kMostSingleJointAngle = 1.0 * kDegree;  // beside a double joint; loaded
inline constexpr double kMostTorsional = 400.0;
inline constexpr double kMostInertial = 1000.0;
// 3 degrees at 5000 rpm, 4 at 4000, 6 at 3000, 9 at 2000 and below.
double most_working_angle(double shaft_hz);

}  // namespace perrev
