// Play of a wheel bearing from a dial on the hub, pushed in and pulled out.
#include <algorithm>

#include "engine/shopmath/wear_and_play.h"
#include "src/answers/bay/bay_tools.h"

namespace perrev {

namespace {

constexpr double kMostTaperPlay = 0.13e-3;  // common practice

Result<BayResult, Problems> run_bearing_play(const BayInput& input, const BayContext& context) {
  const auto sd = input.number("dial_sd");
  const bool once = input.rows("readings").size() == 1;
  constexpr double kUsualDialSd = 0.005e-3;
  const ReadingGauge dial{input.required("dial_step"), sd     ? sd
                                                       : once ? std::optional(kUsualDialSd)
                                                              : std::nullopt};
  const auto play = bearing_play(input.column("readings", 0), input.column("readings", 1), dial);
  if (!play) return field_problem("readings", play.error());
  const std::string given = input.choice("bearing");
  const std::string kind = given.empty() ? context.known("bearing_kind") : given;
  BayResult out;
  const std::string words = told(*play, Dimension::length, context.units);
  out.sentences.push_back("The bearing has a play of " + words + ".");
  out.numbers.push_back({"play", "Play", Dimension::length, play->value, play.value()});
  out.feeds.push_back({"bearing_play", play->value, {}, *play});
  if (!given.empty()) out.feeds.push_back({"bearing_kind", 0.0, given});
  if (kind == "unit")
    out.sentences.push_back(
        "A closed unit has none: what the dial shows beyond its own error is "
        "wear, a loose axle nut or a loose flange.");
  if (kind == "adjustable") {
    out.sentences.push_back("Two tapered rollers run with " +
                            told(kLeastTaperPlay, Dimension::length, context.units) + " to " +
                            told(kMostTaperPlay, Dimension::length, context.units) +
                            ", but those that the maker wants preloaded, with none.");
    if (play->high < kLeastTaperPlay)
      out.cautions.push_back(
          "No play, where the maker does not want preload, is too tight: it runs hot and can "
          "seize. Adjust it by the maker's procedure.");
  }
  if (kind.empty())
    out.notes.push_back(
        "What is allowed depends on the kind of bearing: closed unit, or two tapered rollers.");
  if (play->low > kMostTaperPlay)
    out.cautions.push_back("So much play is not driven before the bearing and its nut were seen.");
  out.cautions.push_back(
      "Raised and chocked, the hub's own nut at its torque, the wheel off or its nuts tight. Push "
      "and pull straight at the hub: play of ball joints or of the steering is none of the "
      "bearing's.");
  return out;
}

}  // namespace

BayTool bearing_play_tool() {
  return {"bearing_play",
          "Bearing play",
          "From a dial on the hub, pushed in and pulled out, to the play of the bearing.",
          {"bearing_play", "bearing_kind"},
          {},
          {rows_field("readings", "Readings", "Of the dial along the axle; a row each time.",
                      {{"pushed", "Pushed in", Dimension::length, -0.05, 0.05},
                       {"pulled", "Pulled out", Dimension::length, -0.05, 0.05}},
                      1, 6),
           choice_field("bearing", "Kind of bearing", "Else it comes from the case.",
                        {{"unit", "Closed unit"}, {"adjustable", "Two tapered rollers"}}, ""),
           quantity_field({"dial_step", "Step of the dial", Dimension::length, 0.0, 0.001},
                          "The least it shows.", false, "0.01 mm"),
           quantity_field({"dial_sd", "How far the dial is off", Dimension::length, 0.0, 0.001},
                          "One standard deviation; else 0.005 mm, or with several rows what they "
                          "themselves say.")},
          run_bearing_play,
          "perrev bay bearing-play --readings \"0.000, 0.003 in; 0.000, 0.002 in\" \\\n"
          "    --bearing unit"};
}

}  // namespace perrev
