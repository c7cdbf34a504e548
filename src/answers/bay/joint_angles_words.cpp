#include "src/answers/bay/joint_angles_words.h"

#include <algorithm>
#include <cmath>

#include "engine/picture/plot.h"
#include "engine/quantity/angle.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

std::string part_name(std::size_t part, std::size_t parts) {
  if (part == 0) return "gearbox output";
  if (part + 1 == parts) return "pinion";
  return parts == 3 ? "shaft" : "shaft piece " + std::to_string(part);
}

}  // namespace

std::string told_degrees(double angle) { return fixed(angle / kDegree, 1) + " deg"; }

std::string joint_name(std::size_t joint, std::size_t joints) {
  return "joint " + std::to_string(joint + 1) + " (" + part_name(joint, joints + 1) + " to " +
         part_name(joint + 1, joints + 1) + ")";
}

bool has_double_joint(const JointAngles& angles) {
  return std::any_of(angles.joints.begin(), angles.joints.end(),
                     [](const JointAngle& joint) { return joint.constant_velocity; });
}

std::string against_limit(const Interval& value, const std::string& limit, double allowed) {
  if (value.high <= allowed) return "within " + limit;
  if (value.low >= allowed) return "beyond " + limit;
  return "too near to " + limit + " for these readings to tell";
}

std::string driveline_picture(const JointAngles& angles, double width) {
  const std::size_t parts = angles.slopes.size();
  Plot plot;
  plot.width = width;
  plot.title = "The driveline from the side";
  plot.summary = "Each part as a line that falls as it does, from the gearbox on the left";
  plot.x = {"from the gearbox to the axle", "lengths of a piece", {}};
  plot.y = {"height, drawn larger", "lengths of a piece", {}};
  double x = 0.0, y = 0.0;
  for (std::size_t part = 0; part < parts; ++part) {
    const double length = part == 0 || part + 1 == parts ? 0.4 : 1.0;
    const double slope = angles.slopes[part].real(), fall = length * std::tan(slope);
    plot.series.push_back({part_name(part, parts) + ", slope " + told_degrees(slope),
                           PlotKind::line,
                           {{x, y}, {x + length, y - fall}}});
    x += length;
    y -= fall;
    if (part + 1 < parts)
      plot.marks.push_back({x, "joint " + std::to_string(part + 1) + ": " +
                                   told_degrees(angles.joints[part].angle.value)});
  }
  return svg_of(plot);
}

}  // namespace perrev
