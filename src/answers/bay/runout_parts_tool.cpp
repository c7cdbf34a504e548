// Where a runout comes from: tire, rim, hub or how the wheel sits.
#include "engine/quantity/angle.h"
#include "engine/shopmath/runout_parts.h"
#include "engine/shopmath/runout_turned.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/dial_rows.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

struct ReadParts {
  RunoutVectors vectors;
  std::optional<TurnedRunout> turned;
  std::vector<std::string> odd;
};

std::string parts_text(const std::vector<RunoutPart>& parts) {
  std::string out;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) out += i + 1 == parts.size() ? " and " : ", ";
    out += name_of(parts[i]);
  }
  return out;
}

std::string told_share(const VectorEstimate& vector, Units units) {
  return told(first_total(vector), Dimension::length, units);
}

bool read_sideways(const BayInput& input) { return input.choice("direction") == "sideways"; }

Result<ReadParts, Problems> read_parts(const BayInput& input, Units units) {
  ReadParts out;
  std::optional<VectorEstimate> again;
  struct Part {
    std::string_view field;
    std::optional<VectorEstimate>* into;
  };
  const Part parts[] = {{"on_car", &out.vectors.on_car}, {"off_car", &out.vectors.off_car},
                        {"rim", &out.vectors.rim},       {"hub", &out.vectors.hub},
                        {"seat", &out.vectors.seating},  {"turned", &again}};
  for (const Part& part : parts) {
    const auto read = read_dial(input, part.field);
    if (!read) return read.error();
    if (!*read) continue;
    *part.into = (*read)->vector;
    if ((*read)->runout)
      for (const std::string& sentence : told_odd(*(*read)->runout->fit, units))
        out.odd.push_back(sentence + " (" +
                          std::string(part.field == "turned" ? "turned" : part.field) + ")");
  }
  if (out.vectors.hub) out.vectors.hub = times(*out.vectors.hub, input.required("hub_grows"));
  if (!again) return out;
  const auto turn = input.number("turned_by");
  if (!out.vectors.on_car)
    return field_problem("on_car", problem("the wheel was read turned but not before",
                                           "read it in both positions, by the mark on the hub"));
  if (!turn)
    return field_problem("turned_by", problem("how far the wheel was turned is not given",
                                              "five studs: 72 or 144 deg"));
  auto turned = runout_turned(*out.vectors.on_car, *again, *turn);
  if (!turned) return field_problem("turned_by", turned.error());
  out.turned = std::move(turned).value();
  return out;
}

void say_fit(const RunoutParts& parts, bool is_sideways, Units units, BayResult& out) {
  if (!parts.on_less_off) return;
  const Interval total = first_total(*parts.on_less_off);
  out.numbers.push_back(
      {"on_less_off", "On the car less off the car", Dimension::length, total.value, total});
  if (!is_sideways) out.feeds.push_back({"on_off_difference", total.value, {}, total});
  std::string said =
      "On the car less off the car there are " + told(total, Dimension::length, units);
  switch (*parts.fit_says) {
    case FitSays::accuses_fit:
      said += ": hub, fit or dirt.";
      break;
    case FitSays::clears_fit:
      said += ": hub and seat are good, what runs out is the wheel with its tire.";
      break;
    case FitSays::leaves_open:
      said += ": too little to blame hub and seat, or too uncertain.";
      break;
  }
  out.sentences.push_back(said);
}

void say_shares(const RunoutParts& parts, bool is_sideways, Units units, BayResult& out) {
  if (parts.shares.size() > 1) {
    const RunoutShare& most = parts.shares[parts.most];
    out.sentences.push_back(parts.clearly_most
                                ? "Most of it lies in the " + parts_text(most.parts) + "."
                                : "No part stands out: the largest is " + parts_text(most.parts) +
                                      ", but within what the readings leave open.");
  }
  for (const RunoutShare& share : parts.shares) {
    const std::string name = parts_text(share.parts);
    const Interval total = first_total(share.vector);
    std::string id;
    for (const RunoutPart part : share.parts)
      id += (id.empty() ? "" : "_") + std::string(name_of(part));
    out.numbers.push_back({id, "Share of " + name, Dimension::length, total.value, total});
    out.sentences.push_back("Share of " + name + ": " + told(total, Dimension::length, units) +
                            (share.stands ? ", " + told_high(share.vector) + "."
                                          : ", no more than the readings leave open."));
    if (!is_sideways && share.parts == std::vector<RunoutPart>{RunoutPart::tire})
      out.feeds.push_back({"tire_own_runout", total.value, {}, total});
  }
  if (parts.gap && parts.gap_stands)
    out.notes.push_back("The sum does not close: " + told_share(*parts.gap, units) +
                        " are in none of the parts. Something moved between the readings, or the "
                        "marks do not agree.");
}

void say_turned(const TurnedRunout& turned, Units units, BayResult& out) {
  const std::string with = told_share(turned.part, units), stays = told_share(turned.hub, units);
  out.numbers.push_back({"goes_with_wheel", "Goes with the wheel", Dimension::length,
                         first_total(turned.part).value, first_total(turned.part)});
  out.numbers.push_back({"stays_with_hub", "Stays with the hub", Dimension::length,
                         first_total(turned.hub).value, first_total(turned.hub)});
  out.sentences.push_back("Turned on the hub, " + with + " go with the wheel and " + stays +
                          " stay with the hub.");
  switch (turned.follows) {
    case RunoutFollows::part:
      out.feeds.push_back({"runout_follows", {}, "with_wheel"});
      break;
    case RunoutFollows::hub:
      out.feeds.push_back({"runout_follows", {}, "with_hub"});
      break;
    case RunoutFollows::nothing:
      out.feeds.push_back({"runout_follows", {}, "no_high_place"});
      break;
    case RunoutFollows::both:
      out.notes.push_back("Both are about alike: it followed neither.");
      break;
  }
}

// The parts one after another, and what they add up to.
std::string parts_picture(const ReadParts& read, const RunoutParts& parts, Units units) {
  Dial dial;
  dial.title = "Where the runout comes from";
  dial.unit = std::string(usual_unit(Dimension::length, units));
  for (const RunoutShare& share : parts.shares) {
    DialArrow arrow = arrow_of("Share of " + parts_text(share.parts), share.vector, units);
    if (!dial.arrows.empty()) arrow.from = dial.arrows.size() - 1;
    dial.arrows.push_back(std::move(arrow));
  }
  for (const auto& [name, vector] : {std::pair("On the car", read.vectors.on_car),
                                     std::pair("Off the car", read.vectors.off_car)})
    if (vector) {
      dial.arrows.push_back(arrow_of(name, *vector, units));
      dial.arrows.back().reference = true;
    }
  return svg_of(dial);
}

Result<BayResult, Problems> run_parts(const BayInput& input, const BayContext& context) {
  const auto read = read_parts(input, context.units);
  if (!read) return read.error();
  const auto parts = runout_parts(read->vectors);
  if (!parts) return field_problem("on_car", parts.error());
  BayResult out;
  say_fit(*parts, read_sideways(input), context.units, out);
  say_shares(*parts, read_sideways(input), context.units, out);
  if (read->turned) say_turned(*read->turned, context.units, out);
  out.svg = parts_picture(*read, *parts, context.units);
  for (const std::string& sentence : read->odd) out.notes.push_back(sentence);
  out.notes.push_back(
      "On the car less off the car decides about hub and seat. A tread within its limit on the "
      "car clears neither tire nor wheel.");
  out.notes.push_back("All places count from one mark, the valve at it: on the car and off it.");
  out.cautions.push_back(
      "Turn it by hand; wheel nuts in sequence to the maker's torque each time it goes back on.");
  return out;
}

}  // namespace

BayTool runout_parts_tool() {
  const std::string_view how = "4 to 36 readings, or one row: amount and high place.";
  std::vector<BayField> fields = {
      choice_field("direction", "Direction", "How the dial pointed.",
                   {{"up_and_down", "Up and down"}, {"sideways", "Sideways"}}, "up_and_down"),
      dial_field("on_car", "Tire and wheel on the car", how),
      dial_field("off_car", "Tire and wheel on the balancer", how),
      dial_field("rim", "Rim alone", "On the bead seats, the tire off, or its inner edges."),
      dial_field("hub", "Hub", "Up and down: its centre. Sideways: its face."),
      quantity_field({"hub_grows", "Hub's part grows by", Dimension::count, 0.5, 6.0},
                     "Centre, up and down: 1. Face: about 2.5 at the rim, 3.5 at the sidewall.",
                     false, "1"),
      dial_field("seat", "How the wheel sits", "Where it was read by itself against the hub."),
      dial_field("turned", "On the car, wheel turned on the hub",
                 "Read by the mark on the hub, as before."),
      quantity_field(
          {"turned_by", "Wheel turned by", Dimension::angle, 10.0 * kDegree, 350.0 * kDegree},
          "Clockwise. Five studs: 72 or 144 deg; half a turn only with 4, 6 or 8.")};
  for (BayField& field : one_row_fields("0.05 mm")) fields.push_back(std::move(field));
  for (BayField& field : dial_gauge_fields("0.02 mm")) fields.push_back(std::move(field));
  return {"runout_parts",
          "Where runout comes from",
          "From runout on the car, off it, of rim and hub to the share of each part.",
          {"on_off_difference", "tire_own_runout", "runout_follows"},
          {},
          std::move(fields),
          run_parts,
          "perrev bay runout-parts --on-car \"0.040 in, 2:00\" \\\n"
          "    --off-car \"0.015 in, 3:30\" --rim \"0.010 in, 5:00\""};
}

}  // namespace perrev
