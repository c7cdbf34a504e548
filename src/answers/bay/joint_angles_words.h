// What the joints of a driveline do, in words and as a picture. Internal to this folder.
#pragma once

#include <string>
#include <vector>

#include "engine/shopmath/joint_shim.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// "joint 1 (gearbox output to shaft)".
std::string joint_name(std::size_t joint, std::size_t joints);
// Whether a value is below what is allowed, beyond, or the readings leave it open.
std::string against_limit(const Interval& value, const std::string& limit, double allowed);
// The size of a difference whichever way it goes.
Interval size_of(const Interval& difference);

// What to turn by a wedge or shim, and what the joints do then. `distance` m: between the ends of
// the wedge or from the engine mounts to the gearbox mount.
std::vector<std::string> shim_sentences(const Shim& shim, ShimmedEnd end,
                                        const std::optional<double>& distance, Units units);

// The driveline from the side, as lines that fall as the parts do.
std::string driveline_picture(const JointAngles& angles);

}  // namespace perrev
