#include "src/answers/bay/joint_remedy.h"

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/shopmath/joint_shim.h"
#include "src/answers/bay/joint_angles_words.h"

namespace perrev {

namespace {

// A turn that no inclinometer and no wedge of the trade tells from none.
constexpr double kNoTurn = 0.1 * kDegree;
constexpr double kNoseDownStanding = -2.5 * kDegree;  // 2 to 3 deg: common practice

// Whether forks out of line come before any shim.
bool tell_forks(const Driveline& driveline, const JointAngles& angles, Units units,
                BayResult& out) {
  constexpr double kInLine = 3.0 * kDegree, kHalfTurn = 180.0 * kDegree;
  Driveline lined = driveline;
  bool out_of_line = false;
  for (JointSetting& joint : lined.joints) {
    out_of_line |= std::fabs(std::remainder(joint.turned, kHalfTurn)) > kInLine;
    joint.turned = 0.0;
  }
  if (!out_of_line) return false;
  const auto then = joint_angles(lined);
  if (!then || then->equivalent.value >= angles.equivalent.value) return false;
  out.sentences.push_back(
      "The forks of a piece of the shaft are out of line; in line the joints would leave over " +
      told(then->equivalent, Dimension::angle, units) +
      ". Put them in line first, by the marks on the spline, unless the maker sets them so; look "
      "for a twisted tube. A shim is worked out after that.");
  return true;
}

std::string after_words(const Shim& shim) {
  std::string out = "The joints then work at ";
  for (std::size_t i = 0; i < shim.angles_after.size(); ++i)
    out += (i == 0                              ? ""
            : i + 1 == shim.angles_after.size() ? " and "
                                                : ", ") +
           told_degrees(shim.angles_after[i]);
  return out + ", and " + told_degrees(shim.equivalent_after) + " is left over.";
}

// Of a wedge between spring and axle, the gearbox ahead of the axle: what is thick pushes them
// apart.
std::string thick_end_words(bool nose_up) {
  const std::string on = nose_up ? "rear" : "front", under = nose_up ? "front" : "rear";
  return ", the thick end to the " + on + " where the spring lies on the axle, to the " + under +
         " where it hangs under it";
}

// What to turn by a wedge or shim, and what the joints do then. `distance` m: between the ends of
// the wedge or from the engine mounts to the gearbox mount.
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

void tell_shim(const BayInput& input, Units units, const Driveline& driveline,
               const JointAngles& angles, BayResult& out) {
  const ShimmedEnd end =
      input.choice("shim_at") == "gearbox" ? ShimmedEnd::gearbox : ShimmedEnd::pinion;
  const auto offset = input.number("joint_offset"), length = input.number("shaft_length");
  const double lever = offset && length ? *offset / *length : 0.0;
  const bool beside_double = has_double_joint(angles) && angles.joints.size() == 2;
  const auto bent = angles.joints.front().side.value;
  const double wanted =
      end == ShimmedEnd::pinion ? kNoseDownStanding : std::copysign(kLeastWorkingAngle, bent);
  const auto shim = beside_double ? shim_for_joint(angles, driveline.joints, end, lever, wanted)
                                  : shim_for_least(angles, driveline.joints, end, lever);
  if (!shim) {
    out.notes.push_back("No shim is worked out: " + shim.error().what + ".");
    return;
  }
  for (const auto& sentence : shim_sentences(*shim, end, input.number("shim_distance"), units))
    out.sentences.push_back(sentence);
  out.numbers.push_back({"shim_turn",
                         end == ShimmedEnd::pinion ? "Turn of the pinion, nose up"
                                                   : "Turn of the gearbox, rear end down",
                         Dimension::angle, shim->turn.value, shim->turn});
}

}  // namespace

void tell_remedy(const BayInput& input, const BayContext& context, const Driveline& driveline,
                 const JointAngles& angles, BayResult& out) {
  if (!tell_forks(driveline, angles, context.units, out))
    tell_shim(input, context.units, driveline, angles, out);
}

}  // namespace perrev
