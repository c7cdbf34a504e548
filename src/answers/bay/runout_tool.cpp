// Runout of one part by the dial: how far, which way, and what stands out.
#include <algorithm>
#include <iterator>

#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/dial_rows.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

struct DialSpot {
  std::string_view id, label, fact, noun;
};

constexpr DialSpot kSpots[] = {
    {"tread", "Tread, up and down, on the car", "tread_radial_runout", "tread"},
    {"sidewall", "Sidewall, sideways, on the car", "sidewall_lateral_runout", "sidewall"},
    {"rim_radial", "Rim, up and down", "rim_radial_runout", "rim"},
    {"rim_lateral", "Rim, sideways", "rim_lateral_runout", "rim"},
    {"hub_face", "Hub face", "hub_face_runout", "hub face"},
    {"hub_pilot", "Hub centre", "hub_pilot_runout", "hub centre"},
    {"drum", "Brake drum", "drum_runout", "drum"},
    {"shaft_middle", "Driveshaft, middle", "shaft_runout", "middle of the shaft"},
    {"shaft_end", "Driveshaft, end", "shaft_end_runout", "end of the shaft"},
    {"flange", "Flange of axle or gearbox", "flange_runout", "flange"},
};

const DialSpot& spot_of(const BayInput& input) {
  const std::string id = input.choice("where");
  for (const DialSpot& spot : kSpots)
    if (spot.id == id) return spot;
  return kSpots[0];
}

bool spot_on_shaft(const DialSpot& spot) {
  return spot.id == "shaft_middle" || spot.id == "shaft_end" || spot.id == "flange";
}

void say_runout_total(const DialSpot& spot, const Runout& runout, Units units, BayResult& out) {
  out.sentences.push_back("The " + std::string(spot.noun) + " runs out by " +
                          told(runout.total, Dimension::length, units) + " in all.");
  out.numbers.push_back({"total_runout", "Total runout, highest less lowest", Dimension::length,
                         runout.total.value, runout.total});
  out.feeds.push_back({std::string(spot.fact),
                       runout.total.value,
                       {},
                       runout.fit ? total_for_case(runout.total, *runout.fit) : runout.total});
}

// Scatter that is learned from the readings, far beyond the dial's step, with no one of them to
// blame.
bool far_from_smooth(const TurnFit& fit, const Gauge& gauge) {
  constexpr double kFarBeyondStep = 10.0;
  return fit.scatter.freedom && fit.odd.empty() &&
         fit.scatter.sd > kFarBeyondStep * Gauge{gauge.resolution, 0.0}.sd();
}

void say_runout_harmonics(const Runout& runout, const Gauge& gauge, Units units, BayResult& out) {
  const TurnFit& fit = *runout.fit;
  const Harmonic& first = fit.harmonics.front();
  out.sentences.push_back("Once a turn it is " +
                          told(first.peak_to_peak(), Dimension::length, units) + ", that is " +
                          told(runout.eccentricity.value, Dimension::length, units) +
                          " off centre, " + told_high(first) + ".");
  for (std::string& sentence : told_odd(fit, units)) out.sentences.push_back(std::move(sentence));
  out.numbers.push_back({"eccentricity", "Off centre", Dimension::length, runout.eccentricity.value,
                         runout.eccentricity});
  for (BayNumber& number : harmonic_numbers(fit)) out.numbers.push_back(std::move(number));
  if (!fit.can_tell_odd)
    out.notes.push_back(
        "So few readings tell of no place that is off, and hardly how far they scatter: read "
        "eight places or more.");
  if (fit.angles.size() == kFewestReadings)
    out.notes.push_back("Four places take what comes three times a turn for once a turn.");
  if (far_from_smooth(fit, gauge))
    out.sentences.push_back(
        "The readings are no smooth turn: they lie " +
        told(fit.scatter.sd, Dimension::length, units) +
        " off it (standard deviation). Look for one that is misread, or stands on a stone, a seam "
        "or a bead of weld, and read all of them again.");
  if (fit.rougher_than_gauge)
    out.notes.push_back(
        "The readings scatter more than the dial does: the surface is rough, or is lumpier than "
        "four times a turn. The intervals are widened by that.");
}

void say_runout_words(const DialSpot& spot, BayResult& out) {
  if (spot.id == "tread") {
    out.notes.push_back(
        "A tread within the old limit of 1.5 mm (0.06 in) clears neither tire nor wheel: half a "
        "millimetre once a turn pushes with about 100 N on a tire of 200 N/mm.");
    out.notes.push_back("Read it warm, with no flat spot from standing, tape round the tread.");
  }
  if (spot.id == "hub_face")
    out.notes.push_back(
        "At the rim it is about two and a half times as much, at the sidewall three and a half.");
  if (spot_on_shaft(spot)) {
    out.notes.push_back(
        "Beyond its limit, turn the shaft on its flange and read again: a high place that goes "
        "along is the shaft's, one that stays is the flange's.");
    out.cautions.push_back(
        "Chock the wheels that stay down, both driven wheels free, engine off; turn the shaft by "
        "hand only.");
  } else {
    out.cautions.push_back(
        "Turn it by hand, the vehicle on stands or the hoist; keep fingers and sleeves clear.");
  }
}

Result<BayResult, Problems> run_runout(const BayInput& input, const BayContext& context) {
  const DialSpot& spot = spot_of(input);
  const auto round = rows_round(input, "readings");
  if (!round) return round.error();
  const auto runout = read_runout(
      {round->readings, round->angles, input.number("total"), dial_gauge(input), std::nullopt});
  if (!runout)
    return field_problem(input.rows("readings").empty() ? "total" : "readings", runout.error());
  BayResult out;
  say_runout_total(spot, *runout, context.units, out);
  if (runout->fit) {
    say_runout_harmonics(*runout, dial_gauge(input), context.units, out);
    out.svg = turn_picture("Runout of the " + std::string(spot.noun), *runout->fit, round->readings,
                           context);
  } else {
    out.sentences.push_back(
        "It is at most " + told(runout->eccentricity.high, Dimension::length, context.units) +
        " off centre; the total alone tells neither how much comes once a turn, nor where.");
  }
  if (runout->coarse)
    out.notes.push_back("The dial's step is more than a fifth of what it reads: take a finer one.");
  say_runout_words(spot, out);
  return out;
}

std::vector<BayField> runout_fields() {
  std::vector<BayChoice> spots;
  for (const DialSpot& spot : kSpots) spots.push_back({spot.id, spot.label, spot.fact});
  std::vector<BayField> out = {
      choice_field("where", "Where the dial stands", "Which part is read.", spots, "tread"),
      rows_field(
          "readings", "Readings round the turn",
          "Four to 36, eight are good: set the dial to zero at the mark. Without places "
          "they stand evenly, clockwise from the mark; leave a row empty that cannot be read. "
          "Chalk "
          "the places: turned clockwise, the part brings them to the dial the other way round.",
          dial_columns(
              {"reading", "Reading", Dimension::length, -2.0 * kMostRunout, 2.0 * kMostRunout}),
          kFewestReadings, kMostReadings, false),
      quantity_field({"total", "Total runout", Dimension::length, 0.0, kMostRunout},
                     "The dial's whole swing, highest less lowest, if you read it.")};
  for (BayField& field : dial_gauge_fields("0.02 mm")) out.push_back(std::move(field));
  return out;
}

}  // namespace

BayTool runout_tool() {
  std::vector<std::string_view> facts;
  for (const DialSpot& spot : kSpots) facts.push_back(spot.fact);
  return {"runout",
          "Runout",
          "From dial readings round a turn to how far a part runs out, how far it is off centre, "
          "and where it is high.",
          facts,
          {},
          runout_fields(),
          run_runout,
          "perrev bay runout --where rim_radial \\\n"
          "    --readings \"0.002, 0.012, 0.022, 0.028, 0.024, 0.014, 0.004, 0.000 in\""};
}

}  // namespace perrev
