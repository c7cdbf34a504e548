// A brake rotor: thickness round the turn, runout on its hub, and its best place there.
#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/quantity/text.h"
#include "engine/shopmath/rotor.h"
#include "engine/shopmath/runout_turned.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/dial_rows.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

std::string told_rotor(const Interval& interval, Units units) {
  return told(interval, Dimension::length, units);
}

std::optional<Problems> say_thickness(const BayInput& input, const BayContext& context,
                                      BayResult& out) {
  const Units units = context.units;
  if (input.rows("thickness").empty()) return std::nullopt;
  const auto round = rows_round(input, "thickness");
  if (!round) return round.error();
  const Gauge gauge{input.number("micrometer_step").value_or(0.0),
                    input.number("micrometer_sd").value_or(0.0)};
  const auto rotor =
      rotor_thickness({round->readings, round->angles, gauge, input.number("minimum")});
  if (!rotor) return field_problem("thickness", rotor.error());
  out.sentences.push_back("The thickness varies by " + told_rotor(rotor->variation, units) + ".");
  out.sentences.push_back("Its thinnest place has " +
                          show(rotor->thinnest.value, Dimension::length, units) + ".");
  for (std::string& sentence : told_odd(rotor->fit, units))
    out.sentences.push_back(std::move(sentence));
  out.numbers.push_back({"thickness_variation", "Thickness variation", Dimension::length,
                         rotor->variation.value, rotor->variation});
  out.numbers.push_back(
      {"thinnest", "Thinnest place", Dimension::length, rotor->thinnest.value, rotor->thinnest});
  for (BayNumber& number : harmonic_numbers(rotor->fit)) {
    if (number.id == "high_place") continue;
    number.id = "thickness_" + number.id;
    number.label = "Thickness, " + lower_case(number.label.substr(0, number.label.find(',')));
    out.numbers.push_back(std::move(number));
  }
  out.feeds.push_back({"disc_thickness_variation",
                       rotor->variation.value,
                       {},
                       total_for_case(rotor->variation, rotor->fit)});
  out.svg = turn_picture("Thickness of the rotor", rotor->fit, round->readings, context);
  if (!rotor->wear) return std::nullopt;
  const double minimum = *input.number("minimum");
  const Interval& thinnest = rotor->thinnest;
  const Interval over{thinnest.value - minimum, thinnest.low - minimum, thinnest.high - minimum};
  out.numbers.push_back(
      {"over_minimum", "Thinnest place less minimum", Dimension::length, over.value, over});
  const std::string stamped = show(minimum, Dimension::length, units);
  if (*rotor->wear == RotorWear::above_minimum) {
    out.sentences.push_back("Its thinnest place is above the minimum, " + stamped + ".");
  } else {
    out.sentences.push_back(*rotor->wear == RotorWear::below_minimum
                                ? "It is worn below its minimum, " + stamped + "."
                                : "Its thinnest place may be below the minimum, " + stamped +
                                      ": the micrometer leaves it open.");
    out.cautions.push_back(
        "A rotor at or below its minimum is replaced, never machined; the axle's other one as "
        "well.");
  }
  return std::nullopt;
}

std::string rotor_picture(const RotorOnHub& read, const RotorIndex& index, Units units) {
  Dial dial;
  dial.title = "Rotor and hub";
  dial.unit = std::string(usual_unit(Dimension::length, units));
  dial.mark = "mark";
  dial.arrows = {arrow_of("The hub's share", index.hub, units),
                 arrow_of("The rotor's own", index.own, units),
                 arrow_of("Now", read.on_hub, units)};
  dial.arrows[1].from = 0;
  dial.arrows[2].reference = true;
  if (index.best > 0)
    dial.arrows.push_back(
        arrow_of("Turned to its best place", index.places[index.best].left, units));
  return svg_of(dial);
}

void say_best(const RotorIndex& index, Units units, BayResult& out) {
  const RotorPlace& best = index.places[index.best];
  out.numbers.push_back({"own_runout", "The rotor's own runout", Dimension::length,
                         first_total(index.own).value, first_total(index.own)});
  out.numbers.push_back({"hub_share", "The hub's share of it", Dimension::length,
                         first_total(index.hub).value, first_total(index.hub)});
  out.sentences.push_back("Of itself the rotor runs out by " +
                          told_rotor(first_total(index.own), units) + ", the hub makes " +
                          told_rotor(first_total(index.hub), units) + " of it.");
  if (index.best == 0) {
    out.sentences.push_back("It sits at its best place already.");
    return;
  }
  const Interval left = first_total(best.left);
  out.numbers.push_back({"best_turn", "Turn the rotor on by", Dimension::angle, best.turn, {}});
  out.numbers.push_back({"best_runout", "Runout left there", Dimension::length, left.value, left});
  const std::string studs = index.best == 1 ? "one stud" : std::to_string(index.best) + " studs";
  out.sentences.push_back(
      "Turned on by " + studs + " (" + fixed(best.turn * 360.0 / kTurn, 0) +
      " deg, clockwise) it would run out by " + told_rotor(left, units) +
      (index.gained.low > 0.0 ? "." : "; that is no sure gain, the readings leave it open."));
}

std::optional<Problems> say_turned_rotor(const BayInput& input, const VectorEstimate& first,
                                         BayResult& out, Units units) {
  const auto again = read_dial(input, "turned");
  if (!again) return again.error();
  if (!*again) return std::nullopt;
  const auto turn = input.number("turned_by");
  if (!turn)
    return field_problem("turned_by", problem("how far the rotor was turned is not given",
                                              "five studs: 72 or 144 deg"));
  const auto turned = runout_turned(first, (*again)->vector, *turn);
  if (!turned) return field_problem("turned_by", turned.error());
  out.sentences.push_back("Turned on the hub, " + told_rotor(first_total(turned->part), units) +
                          " go with the rotor and " + told_rotor(first_total(turned->hub), units) +
                          " stay with the hub.");
  if (turned->follows == RunoutFollows::both) {
    out.notes.push_back("Both are about alike: it followed neither.");
    return std::nullopt;
  }
  out.feeds.push_back({"rotor_turned_result",
                       {},
                       turned->follows == RunoutFollows::part  ? "with_rotor"
                       : turned->follows == RunoutFollows::hub ? "with_hub"
                                                               : "no_high_place"});
  return std::nullopt;
}

void say_hub(const DialRead& hub, Units units, BayResult& out) {
  const Interval total = hub.runout ? hub.runout->total : first_total(hub.vector);
  out.sentences.push_back("The hub face runs out by " + told_rotor(total, units) + ".");
  out.numbers.push_back({"hub_face", "Hub face", Dimension::length, total.value, total});
  out.feeds.push_back({"hub_face_runout",
                       total.value,
                       {},
                       hub.runout ? total_for_case(total, *hub.runout->fit) : total});
}

std::optional<Problems> say_runout(const BayInput& input, const BayContext& context,
                                   BayResult& out) {
  const Units units = context.units;
  const auto on_hub = read_dial(input, "on_hub");
  if (!on_hub) return on_hub.error();
  const auto hub = read_dial(input, "hub");
  if (!hub) return hub.error();
  if (*on_hub) {
    const DialRead& read = **on_hub;
    const Interval total = read.runout ? read.runout->total : first_total(read.vector);
    out.sentences.push_back("On its hub the rotor runs out by " + told_rotor(total, units) + ", " +
                            told_high(read.vector) + ".");
    out.numbers.push_back(
        {"rotor_runout", "Runout on the hub", Dimension::length, total.value, total});
    out.feeds.push_back({"rotor_runout",
                         total.value,
                         {},
                         read.runout ? total_for_case(total, *read.runout->fit) : total});
    if (read.runout)
      for (std::string& sentence : told_odd(*read.runout->fit, units))
        out.sentences.push_back(std::move(sentence));
    if (out.svg.empty() && read.runout)
      out.svg = turn_picture("Runout of the rotor", *read.runout->fit, input.column("on_hub", 0),
                             context);
    if (auto wrong = say_turned_rotor(input, read.vector, out, units)) return wrong;
  }
  if (*hub) say_hub(**hub, units, out);
  if (!*on_hub || !*hub) return std::nullopt;
  const RotorOnHub both{(*on_hub)->vector, (*hub)->vector, input.required("radius_on_hub"),
                        input.required("radius_hub"),
                        static_cast<int>(std::lround(input.required("studs")))};
  const auto index = index_rotor(both);
  if (!index) return field_problem("radius_on_hub", index.error());
  say_best(*index, units, out);
  if (input.rows("thickness").empty()) out.svg = rotor_picture(both, *index, units);
  return std::nullopt;
}

Result<BayResult, Problems> run_rotor(const BayInput& input, const BayContext& context) {
  BayResult out;
  if (auto wrong = say_thickness(input, context, out)) return *wrong;
  if (auto wrong = say_runout(input, context, out)) return *wrong;
  if (out.sentences.empty())
    return field_problem(
        "thickness", problem("nothing was read", "give the thickness, or the runout on the hub"));
  out.notes.push_back(
      "Runout of 0.05 to 0.10 mm (0.002 to 0.004 in) is seldom felt on the day and makes thickness "
      "variation within "
      "3,000 to 9,000 miles (5,000 to 15,000 km). Read it with the nuts on, hub face first, both "
      "faces clean. A rotor "
      "that "
      "a screw holds in one place cannot be turned on.");
  out.cautions.push_back(
      "No dust into the air: wipe it off wet. Nuts in sequence to the maker's torque; pump the "
      "pedal before the vehicle moves.");
  return out;
}

}  // namespace

BayTool rotor_tool() {
  std::vector<BayField> fields = {
      rows_field("thickness", "Thickness round the turn",
                 "Eight places, all at the same distance from the edge.",
                 dial_columns({"thickness", "Thickness", Dimension::length, 3e-3, 80e-3}),
                 kFewestReadings, kMostReadings, false),
      quantity_field({"minimum", "Minimum thickness", Dimension::length, 3e-3, 80e-3},
                     "As stamped on the rotor."),
      quantity_field({"micrometer_step", "Step of the micrometer", Dimension::length, 1e-7, 1e-3},
                     "One line, or the last digit.", false, "0.001 mm"),
      quantity_field({"micrometer_sd", "Same place read again", Dimension::length, 1e-7, 1e-3},
                     "One standard deviation, if you know it; else it is learned."),
      dial_field("on_hub", "Runout on the hub, nuts on",
                 "4 to 36 readings, or one row: amount and high place."),
      dial_field("hub", "Runout of the hub face", "The rotor off; places from the same mark."),
      quantity_field({"radius_on_hub", "Dial from the middle, rotor", Dimension::length, 0.02, 0.5},
                     "Distance from the middle of the hub.", false, "130 mm"),
      quantity_field({"radius_hub", "Dial from the middle, hub", Dimension::length, 0.02, 0.5},
                     "Distance from the middle of the hub.", false, "60 mm"),
      quantity_field(whole_column("studs", "Studs", 3.0, 12.0), "Evenly round the hub.", false,
                     "5"),
      dial_field("turned", "Runout with the rotor turned", "By the mark on the hub, as before."),
      quantity_field(
          {"turned_by", "Rotor turned by", Dimension::angle, 10.0 * kDegree, 350.0 * kDegree},
          "Clockwise. Five studs: 72 or 144 deg; half a turn only with 4, 6 or 8.")};
  for (BayField& field : one_row_fields("0.005 mm")) fields.push_back(std::move(field));
  for (BayField& field : dial_gauge_fields("0.01 mm")) fields.push_back(std::move(field));
  return {"rotor",
          "Brake rotor",
          "From thickness and dial readings round a rotor to its variation, its wear, and its best "
          "place on the hub.",
          {"disc_thickness_variation", "rotor_runout", "hub_face_runout", "rotor_turned_result"},
          {},
          std::move(fields),
          run_rotor,
          "perrev bay rotor --minimum \"0.906 in\" --thickness \\\n"
          "    \"0.9848, 0.9850, 0.9852, 0.9851, 0.9848, 0.9845, 0.9844, 0.9846 in\""};
}

}  // namespace perrev
