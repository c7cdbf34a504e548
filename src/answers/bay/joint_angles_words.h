// What the joints of a driveline do, in words and as a picture. Internal to this folder.
#pragma once

#include <string>

#include "engine/shopmath/joint_angles.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

std::string told_degrees(double angle);  // "3.2 deg"
// "joint 1 (gearbox output to shaft)".
std::string joint_name(std::size_t joint, std::size_t joints);
bool has_double_joint(const JointAngles& angles);
// Whether a value is below what is allowed, beyond, or the readings leave it open.
std::string against_limit(const Interval& value, const std::string& limit, double allowed);

// The driveline from the side, as lines that fall as the parts do, in a frame `width` px wide.
std::string driveline_picture(const JointAngles& angles, double width);

}  // namespace perrev
