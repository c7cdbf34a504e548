// What a wedge under the axle or a shim at the gearbox mount should turn so that the joints undo
// one another, or so that the joint beside a double joint runs straight.
//
// Turning the part at one end moves its joint up or down as well, and with it the shaft's slope:
// `lever` is the distance from where the part turns about (axle centre, engine mounts) to the
// joint, over the length of the piece of shaft beside it. 0 where that is not known. Signs as in
// joint_angles.h: a positive turn lowers the rear end of the part, for a pinion that is nose up.
// rad; intervals of 95 %.
#pragma once

#include "engine/shopmath/joint_angles.h"

namespace perrev {

enum class ShimmedEnd { gearbox, pinion };

struct Shim {
  Interval turn;                // of the part, from how it was measured
  double equivalent_after = 0;  // what is left over, rad: 0 where the joints can undo one another
  std::vector<double> angles_after;
};

// The least turn, up to 10 degrees, that leaves least over. A problem for drivelines where a wedge
// cannot do it: the joint at that end is a constant-velocity joint, or there is none other.
Result<Shim> shim_for_least(const JointAngles& angles, const std::vector<JointSetting>& joints,
                            ShimmedEnd end, double lever);

// The turn after which the end's joint is bent by `wanted` in side view, rad: beside a double joint
// at the gearbox the pinion stands 2 to 3 degrees nose down at rest, bent by -2 to -3, and comes up
// to straight under load (common practice).
Result<Shim> shim_for_joint(const JointAngles& angles, const std::vector<JointSetting>& joints,
                            ShimmedEnd end, double lever, double wanted);

// How much thicker one end of the wedge or shim is, `distance` m from the other: between the bolts
// of a wedge, or from the engine mounts to the gearbox mount. Positive raises the front of a
// pinion; at the gearbox it is taken away from under the mount.
double shim_thickness(double turn, double distance);

}  // namespace perrev
