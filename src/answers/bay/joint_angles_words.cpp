#include "src/answers/bay/joint_angles_words.h"

#include <algorithm>
#include <cmath>

#include "engine/picture/plot.h"
#include "engine/quantity/angle.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

// A turn that no inclinometer and no wedge of the trade tells from none.
constexpr double kNoTurn = 0.1 * kDegree;

std::string part_name(std::size_t part, std::size_t parts) {
  if (part == 0) return "gearbox output";
  if (part + 1 == parts) return "pinion";
  return parts == 3 ? "shaft" : "shaft piece " + std::to_string(part);
}

std::string degrees(double angle) { return fixed(angle / kDegree, 1) + " deg"; }

std::string after_words(const Shim& shim) {
  std::string out = "The joints then work at ";
  for (std::size_t i = 0; i < shim.angles_after.size(); ++i)
    out += (i == 0                              ? ""
            : i + 1 == shim.angles_after.size() ? " and "
                                                : ", ") +
           degrees(shim.angles_after[i]);
  return out + ", and " + degrees(shim.equivalent_after) + " is left over.";
}

// Of a wedge between spring and axle, the gearbox ahead of the axle: what is thick pushes them
// apart.
std::string thick_end_words(bool nose_up) {
  const std::string on = nose_up ? "rear" : "front", under = nose_up ? "front" : "rear";
  return ", the thick end to the " + on + " where the spring lies on the axle, to the " + under +
         " where it hangs under it";
}

}  // namespace

std::string joint_name(std::size_t joint, std::size_t joints) {
  return "joint " + std::to_string(joint + 1) + " (" + part_name(joint, joints + 1) + " to " +
         part_name(joint + 1, joints + 1) + ")";
}

std::string against_limit(const Interval& value, const std::string& limit, double allowed) {
  if (value.high <= allowed) return "within " + limit;
  if (value.low >= allowed) return "beyond " + limit;
  return "too near to " + limit + " for these readings to tell";
}

Interval size_of(const Interval& difference) {
  const double low = std::fabs(difference.low), high = std::fabs(difference.high);
  const bool holds_zero = difference.low <= 0.0 && difference.high >= 0.0;
  return {std::fabs(difference.value), holds_zero ? 0.0 : std::min(low, high), std::max(low, high)};
}

std::vector<std::string> shim_sentences(const Shim& shim, ShimmedEnd end,
                                        const std::optional<double>& distance, Units units) {
  const bool pinion = end == ShimmedEnd::pinion;
  const double turn = shim.turn.value;
  if (std::fabs(turn) < kNoTurn)
    return {std::string("No ") + (pinion ? "wedge at the axle" : "shim at the gearbox mount") +
            " would make it better by more than can be read."};
  const Interval size = size_of(shim.turn);
  std::string first = pinion ? "Turn the pinion's nose " : "Bring the rear end of the gearbox ";
  first += (turn > 0.0) == pinion ? "up" : "down";
  first += " by " + told(size, Dimension::angle, units);
  if (distance)
    first += std::string(pinion ? ": a wedge that is " : ": the mount ") +
             (pinion       ? ""
              : turn > 0.0 ? "lower by "
                           : "higher by ") +
             told(shim_thickness(std::fabs(turn), *distance), Dimension::length, units) +
             (pinion ? " thicker at one end over " : ", over ") +
             told(*distance, Dimension::length, units) +
             (pinion ? thick_end_words(turn > 0.0) : " from the engine mounts");
  std::vector<std::string> out{first + ".", after_words(shim)};
  if (shim.turn.low < 0.0 && shim.turn.high > 0.0)
    out.front() += " The readings do not settle yet which way: read again first.";
  return out;
}

std::string driveline_picture(const JointAngles& angles) {
  const std::size_t parts = angles.slopes.size();
  Plot plot;
  plot.title = "The driveline from the side";
  plot.summary = "Each part as a line that falls as it does, from the gearbox on the left";
  plot.x = {"from the gearbox to the axle", "lengths of a piece", {}};
  plot.y = {"height, drawn larger", "lengths of a piece", {}};
  double x = 0.0, y = 0.0;
  for (std::size_t part = 0; part < parts; ++part) {
    const double length = part == 0 || part + 1 == parts ? 0.4 : 1.0;
    const double slope = angles.slopes[part].real(), fall = length * std::tan(slope);
    plot.series.push_back({part_name(part, parts) + ", slope " + degrees(slope),
                           PlotKind::line,
                           {{x, y}, {x + length, y - fall}}});
    x += length;
    y -= fall;
    if (part + 1 < parts)
      plot.marks.push_back({x, "joint " + std::to_string(part + 1) + ": " +
                                   degrees(angles.joints[part].angle.value)});
  }
  return svg_of(plot);
}

}  // namespace perrev
