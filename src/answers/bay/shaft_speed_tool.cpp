// How near a driveshaft turns to the speed at which its tube begins to whip.
#include "engine/shopmath/shaft_speed.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/bay_vehicle.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

Result<BayResult, Problems> run_shaft_speed(const BayInput& input, const BayContext& context) {
  ShaftTube tube{input.required("length"), input.required("diameter"), input.required("wall")};
  if (input.choice("material") == "aluminium") {
    tube.elasticity = kAluminiumTube.elasticity;
    tube.density = kAluminiumTube.density;
  }
  const auto made = shaft_speed(tube, {0.0, input.required("tape_sd")});
  if (!made) return field_problem("length", made.error());

  BayResult out;
  out.sentences.push_back("The tube begins to whip near " + rpm_words(made->critical.value) +
                          "; it should never turn faster than " + rpm_words(made->safe.value) +
                          ".");
  out.numbers = {
      {"critical_speed", "Critical speed", Dimension::frequency, made->critical.value,
       made->critical, true},
      {"safe_speed", "Safe at most", Dimension::frequency, made->safe.value, made->safe, true}};
  auto turns = input.number("shaft_speed");
  if (!turns) turns = shaft_turns(context);
  if (turns) {
    const Interval share = made->share_at(*turns);
    out.numbers.push_back(
        {"share", "Share of the critical speed", Dimension::ratio, share.value, share});
    out.feeds.push_back({"shaft_speed_share", share.value, {}, share});
    out.sentences.push_back("At the speed of the complaint it turns at " + rpm_words(*turns) +
                            ", " + percent(share.value) + " of that.");
    if (*turns > made->safe.value)
      out.cautions.push_back("Do not drive it at that speed again: a shaft that whips can break.");
  } else {
    out.notes.push_back(
        "How fast the shaft turns is not told: give it, or a case with tires, axle ratio and worst "
        "speed.");
  }
  out.cautions.push_back("Stop at the first sharp rise; never prove it at a higher speed.");
  out.notes.push_back(
      "Between ideal joints; soft mounts, a slip joint and dents bring it lower. The safe share "
      "of " +
      percent(kSafeShareOfCritical) + " is common practice; the maker's word wins.");
  return out;
}

}  // namespace

BayTool shaft_speed_tool() {
  return {"shaft_speed",
          "Shaft speed",
          "From the size of a driveshaft's tube to the speed at which it begins to whip.",
          {"shaft_speed_share"},
          {},
          {quantity_field({"length", "Length between joint centres", Dimension::length, 0.1, 5.0},
                          "Measure from the centre of one joint to the centre of the next.", true),
           quantity_field({"diameter", "Outside diameter", Dimension::length, 0.01, 0.3},
                          "Of the tube, away from welds and weights.", true),
           quantity_field({"wall", "Wall thickness", Dimension::length, 0.0005, 0.15},
                          "Of one wall, from the parts list or an ultrasonic gauge.", true),
           choice_field("material", "Material", "A magnet sticks to steel.",
                        {{"steel", "Steel"}, {"aluminium", "Aluminium"}}, "steel"),
           quantity_field({"shaft_speed", "Speed of the shaft", Dimension::frequency, 1.0, 200.0},
                          "Where the complaint is worst; else it comes from the case."),
           quantity_field({"tape_sd", "How far the tape may be off", Dimension::length, 0.0, 0.05},
                          "One standard deviation.", false, "3 mm")},
          run_shaft_speed,
          "perrev bay shaft-speed --length \"58 in\" --diameter \"3 in\" \\\n"
          "    --wall \"0.083 in\" --shaft-speed \"2600 rpm\""};
}

}  // namespace perrev
