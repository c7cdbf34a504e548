// What puts the angles of a driveline right: forks that are out of line first, else a wedge or
// shim. Internal to this folder.
#pragma once

#include "engine/shopmath/joint_angles.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// `input` says where the shim goes, and lengths.
void tell_remedy(const BayInput& input, const BayContext& context, const Driveline& driveline,
                 const JointAngles& angles, BayResult& out);

}  // namespace perrev
