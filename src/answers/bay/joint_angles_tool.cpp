// Working angles of a driveshaft's joints, what is left over, and the shim that makes it even.
#include <cmath>

#include "engine/quantity/angle.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/bay_vehicle.h"
#include "src/answers/bay/joint_angles_words.h"
#include "src/answers/bay/joint_remedy.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

Driveline driveline_of(const BayInput& input) {
  Driveline out;
  for (const BayInput::Row& row : input.rows("parts")) {
    PartSlope part{{*row[0]}, {}};
    if (row[1]) part.side.push_back(*row[1]);
    if (row[2]) part.plan.push_back(*row[2]);
    out.parts.push_back(std::move(part));
  }
  out.joints.resize(out.parts.size() - 1);
  const std::vector<double> turns = input.column("fork_turns", 0);
  for (std::size_t i = 0; i < turns.size() && i + 1 < out.joints.size(); ++i)
    out.joints[i + 1].turned = turns[i];
  const std::string at = input.choice("double_joint");
  if (at == "gearbox") out.joints.front().constant_velocity = true;
  if (at == "pinion") out.joints.back().constant_velocity = true;
  out.side_gauge = {input.required("gauge_step"), input.required("gauge_sd")};
  out.plan_gauge = {0.0, input.required("above_sd")};
  return out;
}

// One reckoning, put into words part by part.
class AnglesTold {
 public:
  AnglesTold(const BayInput& input, const BayContext& context, const Driveline& driveline,
             const JointAngles& angles)
      : input_(input), context_(context), driveline_(driveline), angles_(angles) {
    turns_ = input.number("shaft_speed");
    if (!turns_) turns_ = shaft_turns(context);
  }

  BayResult told_all() {
    tell_joints();
    if (has_double_joint(angles_)) tell_single_joint();
    if (angles_.difference) tell_difference();
    tell_left_over();
    tell_speed();
    tell_remedy(input_, context_, driveline_, angles_, out_);
    tell_small_angles();
    out_.cautions = {
        "At ride height with the usual load, wheels on the floor or on plates and chocked: a "
        "hanging axle shows wrong angles. Hot exhaust.",
        "Spring clamp bolts by torque after any wedge, and again after 50 to 100 km (30 to 60 "
        "miles); the maker's "
        "service information wins."};
    out_.notes.push_back(
        "A slope is positive where the end away from the gearbox is lower. Limits of angles and "
        "accelerations are common practice or from memory.");
    out_.svg = driveline_picture(angles_, context_.plot_width);
    return std::move(out_);
  }

 private:
  void number(const std::string& id, const std::string& label, const Interval& value) {
    out_.numbers.push_back({id, label, Dimension::angle, value.value, value});
  }
  std::string words(const Interval& value) const {
    return told(value, Dimension::angle, context_.units);
  }

  void tell_joints() {
    std::string sentence;
    Interval largest;
    for (std::size_t i = 0; i < angles_.joints.size(); ++i) {
      const JointAngle& joint = angles_.joints[i];
      const std::string name = joint_name(i, angles_.joints.size());
      const std::string at = std::to_string(i + 1);
      sentence += (i == 0 ? "" : ", ") + name + " at " +
                  told(joint.angle.value, Dimension::angle, context_.units) +
                  (joint.constant_velocity ? ", a double joint" : "");
      number("working_angle_" + at, "Working angle, joint " + at, joint.angle);
      if (joint.plan) {
        number("side_part_" + at, "Of it from the side", joint.side);
        number("plan_part_" + at, "Of it from above", *joint.plan);
      }
      if (!joint.constant_velocity && joint.angle.value > largest.value) largest = joint.angle;
    }
    sentence[0] = 'J';
    out_.sentences.push_back(sentence + ".");
    out_.feeds.push_back({"working_angle", largest.value, {}, largest});
  }

  void tell_single_joint() {
    const bool at_gearbox = driveline_.joints.front().constant_velocity;
    const JointAngle& other = at_gearbox ? angles_.joints.back() : angles_.joints.front();
    if (other.constant_velocity) return;
    const bool nose_up = at_gearbox && other.side.value > 0.0;
    out_.sentences.push_back(
        "With a double joint at one end equal angles are the wrong aim: the other joint must run "
        "within 0 to 1 deg under load. It stands at " +
        words(other.angle) +
        (at_gearbox ? std::string(nose_up ? ", the pinion's nose up" : ", the pinion's nose down") +
                          "; 2 to 3 deg nose down is right standing."
                    : std::string(".")));
    if (nose_up && other.angle.value > kMostSingleJointAngle)
      out_.notes.push_back(
          "Nose up, the angle grows under load. It is not kept: the case takes a nose that points "
          "down.");
    else
      out_.feeds.push_back({"single_joint_angle", other.angle.value, {}, other.angle});
  }

  void tell_difference() {
    const Interval size = size_of(*angles_.difference);
    out_.sentences.push_back(
        "The two angles differ by " + words(size) + ", " +
        against_limit(size, "the usual 1 deg", kMostAngleDifference) + "; the joints are bent " +
        (angles_.mismatch->same_way ? "the same way twice." : "one way and back."));
    number("angle_difference", "Difference, first less second", *angles_.difference);
    out_.feeds.push_back({"angle_difference", size.value, {}, size});
  }

  void tell_left_over() {
    number("equivalent_angle", "Left over, as one joint's angle", angles_.equivalent);
    if (has_double_joint(angles_) && angles_.joints.size() == 2) return;
    out_.sentences.push_back(
        "Together they leave over what one joint at " + words(angles_.equivalent) + " does, " +
        against_limit(angles_.equivalent, "the usual 3 deg", kMostEquivalentAngle) + ".");
    out_.feeds.push_back({"equivalent_angle", angles_.equivalent.value, {}, angles_.equivalent});
  }

  void tell_speed() {
    if (!turns_) {
      out_.notes.push_back(
          "How fast the shaft turns is not told, so neither is what its angles may be: give it, or "
          "a case with tires, axle ratio and worst speed.");
      return;
    }
    const JointExcitation made = joint_excitation(angles_, *turns_);
    const auto accelerations = [](const Interval& of) {
      return fixed(of.value, 0) + " (" + fixed(of.low, 0) + " to " + fixed(of.high, 0) + ") rad/s2";
    };
    const double allowed = most_working_angle(*turns_);
    std::string sentence = "At " + rpm_words(*turns_) + " a joint may work at " +
                           told(allowed, Dimension::angle, context_.units) + ".";
    for (std::size_t i = 0; i < angles_.joints.size(); ++i)
      if (!angles_.joints[i].constant_velocity)
        sentence += " Joint " + std::to_string(i + 1) + " is " +
                    against_limit(angles_.joints[i].angle, "that", allowed) + ".";
    out_.sentences.push_back(sentence);
    out_.sentences.push_back(
        "What is left over turns the axle to and fro with " + accelerations(made.torsional) + ", " +
        against_limit(made.torsional, "the usual 400", kMostTorsional) +
        "; the shaft itself with " + shaft_itself(made, accelerations) +
        against_limit(made.driving.value > made.driven.value ? made.driving : made.driven,
                      "the usual 1000", kMostInertial) +
        ".");
    const double rpm = 60.0 * *turns_;
    out_.feeds.push_back({"shaft_speed_at_worst", 0.0,
                          rpm < 2000.0   ? "under_2000_rpm"
                          : rpm < 3000.0 ? "under_3000_rpm"
                          : rpm < 4000.0 ? "under_4000_rpm"
                                         : "over_4000_rpm"});
  }

  // By the cross joint at either end.
  template <typename Words>
  std::string shaft_itself(const JointExcitation& made, const Words& accelerations) const {
    const bool first = !angles_.joints.front().constant_velocity,
               last = !angles_.joints.back().constant_velocity;
    const std::string gearbox = accelerations(made.driving) + " by the joint at the gearbox",
                      pinion = accelerations(made.driven) + " by the one at the pinion";
    if (first && last) return gearbox + " and " + pinion + ", the larger ";
    return (first ? gearbox : pinion) + ", ";
  }

  void tell_small_angles() {
    for (std::size_t i = 0; i < angles_.joints.size(); ++i)
      if (!angles_.joints[i].constant_velocity && angles_.joints[i].angle.high < kLeastWorkingAngle)
        out_.notes.push_back("Joint " + std::to_string(i + 1) +
                             " works at under half a degree: its needles do not roll and wear "
                             "marks into the cross.");
  }

  const BayInput& input_;
  const BayContext& context_;
  const Driveline& driveline_;
  const JointAngles& angles_;
  std::optional<double> turns_;
  BayResult out_;
};

Result<BayResult, Problems> run_joint_angles(const BayInput& input, const BayContext& context) {
  const Driveline driveline = driveline_of(input);
  if (input.rows("fork_turns").size() + 2 > driveline.parts.size())
    return field_problem("fork_turns", problem("there are more of them than pieces of the shaft",
                                               "one for each piece, or none"));
  const auto angles = joint_angles(driveline);
  if (!angles) return field_problem("parts", angles.error());
  return AnglesTold(input, context, driveline, *angles).told_all();
}

std::vector<BayField> joint_angles_fields() {
  constexpr double kSteep = 45.0 * kDegree, kTurned = 180.0 * kDegree;
  return {
      rows_field("parts", "Slopes along the driveline",
                 "Gearbox output, each piece of the shaft, pinion; positive where the end away "
                 "from the gearbox is lower.",
                 {{"slope", "Slope", Dimension::angle, -kSteep, kSteep},
                  {"again", "Read again", Dimension::angle, -kSteep, kSteep, false},
                  {"above", "From above, to the right", Dimension::angle, -kSteep, kSteep, false}},
                 3, 6),
      rows_field("fork_turns", "Forks turned",
                 "For each piece of the shaft how far its rear fork is turned from its front one, "
                 "clockwise seen from the gearbox; none where they are in line.",
                 {{"turn", "Turned by", Dimension::angle, -kTurned, kTurned}}, 1, 4, false),
      choice_field("double_joint", "Double joint", "A joint that turns evenly at any angle.",
                   {{"none", "None"}, {"gearbox", "At the gearbox"}, {"pinion", "At the axle"}},
                   "none"),
      quantity_field({"shaft_speed", "Speed of the shaft", Dimension::frequency, 1.0, 200.0},
                     "Where the complaint is worst; else it comes from the case."),
      choice_field("shim_at", "Shim at", "Where the angles are to be put right.",
                   {{"pinion", "The axle, by a wedge"}, {"gearbox", "The gearbox mount"}},
                   "pinion"),
      quantity_field({"shim_distance", "Length of the shim", Dimension::length, 0.02, 3.0},
                     "Of the wedge between its ends, or from the engine mounts to the gearbox "
                     "mount."),
      quantity_field({"joint_offset", "Joint from what turns", Dimension::length, 0.0, 2.0},
                     "From the axle's centre, or from the engine mounts, to the joint. With the "
                     "next one, the joint's own way is reckoned with."),
      quantity_field({"shaft_length", "Length of the shaft", Dimension::length, 0.1, 5.0},
                     "Of the piece beside that joint, between joint centres."),
      quantity_field({"gauge_step", "Step of the inclinometer", Dimension::angle, 0.0, 0.02},
                     "The least it shows.", false, "0.1 deg"),
      quantity_field({"gauge_sd", "How far it is off", Dimension::angle, 0.0, 0.05},
                     "One place read again and again: one standard deviation.", false, "0.1 deg"),
      quantity_field({"above_sd", "The same from above", Dimension::angle, 0.0, 0.05},
                     "One standard deviation of what is read from above.", false, "0.2 deg")};
}

}  // namespace

BayTool joint_angles_tool() {
  return {"joint_angles",
          "Joint angles",
          "From slopes along the driveline to the angle of each joint, what they leave over, and "
          "the shim that makes it even.",
          {"working_angle", "angle_difference", "equivalent_angle", "single_joint_angle",
           "shaft_speed_at_worst"},
          {"correct_angles"},
          joint_angles_fields(),
          run_joint_angles,
          "perrev bay joint-angles --parts \"4.2 deg; 1.0 deg; 3.1 deg\" \\\n"
          "    --shaft-speed \"2600 rpm\" --plot angles.svg"};
}

}  // namespace perrev
