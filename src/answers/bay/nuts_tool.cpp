// Wheel nuts against the maker's torque: how low, how uneven, which are loose.
#include "engine/shopmath/nut_torque.h"
#include "src/answers/bay/bay_tools.h"

namespace perrev {

namespace {

// "nuts 2 and 4"; empty where none is so.
std::string nuts_that_are(const WheelNuts& nuts, NutState state) {
  std::vector<std::string> found;
  for (std::size_t i = 0; i < nuts.states.size(); ++i)
    if (nuts.states[i] == state) found.push_back(std::to_string(i + 1));
  if (found.empty()) return {};
  std::string out = found.size() == 1 ? "Nut " : "Nuts ";
  for (std::size_t i = 0; i < found.size(); ++i)
    out += (i == 0 ? "" : i + 1 == found.size() ? " and " : ", ") + found[i];
  return out + (found.size() == 1 ? " is " : " are ");
}

void tell_nuts(const WheelNuts& nuts, Units units, BayResult& out) {
  struct Told {
    NutState state;
    const char* what;
  };
  for (const Told& each : {Told{NutState::missing, "missing or turned by hand."},
                           {NutState::loose, "loose: under half of the stated torque."},
                           {NutState::low, "low: under 80 % of the stated torque."},
                           {NutState::too_tight, "too tight: over 125 % of the stated torque."}})
    if (const std::string which = nuts_that_are(nuts, each.state); !which.empty())
      out.sentences.push_back(which + each.what);
  if (nuts.spread.value > kUnevenNuts)
    out.sentences.push_back("They are uneven: highest and lowest differ by " +
                            told(nuts.spread.value, Dimension::ratio, units) +
                            " of the stated torque.");
  if (out.sentences.empty())
    out.sentences.push_back("All nuts are within 80 and 125 % of the stated torque, and even.");
}

Result<BayResult, Problems> run_nuts(const BayInput& input, const BayContext& context) {
  const double stated = input.required("stated");
  const std::vector<double> readings = input.column("torques", 0);
  const auto nuts = wheel_nuts(readings, stated);
  if (!nuts) return field_problem("torques", nuts.error());
  BayResult out;
  tell_nuts(*nuts, context.units, out);
  for (std::size_t i = 0; i < readings.size(); ++i)
    out.numbers.push_back({"below_" + std::to_string(i + 1),
                           "Nut " + std::to_string(i + 1) + " below the stated (- above)",
                           Dimension::ratio, nuts->below[i].value, nuts->below[i]});
  out.numbers.push_back(
      {"spread", "Highest less lowest", Dimension::ratio, nuts->spread.value, nuts->spread});
  const bool loose = nuts->count_of(NutState::missing) + nuts->count_of(NutState::loose) > 0;
  if (loose) {
    out.feeds.push_back({"nuts_loose_found", 0.0, "yes"});
    out.cautions.push_back(
        "Do not drive it. Wheel off: look at studs, holes, seats and the hub's face. Stretched "
        "studs and wheels with oval holes are replaced, never simply tightened again.");
  } else if (nuts->count_of(NutState::low) == 0) {
    out.feeds.push_back({"nuts_loose_found", 0.0, "no"});
    out.notes.push_back(
        "Torque does not tell whether a nut's seat, cone, ball or flat, is that of the wheel: look "
        "at it before you keep this, the answer says it fits.");
  } else {
    out.notes.push_back(
        "Low but not loose: whether the wheel moved is seen at its studs and seats; that is "
        "answered by looking, not here.");
  }
  out.cautions.push_back(
      "Tighten clean and dry seats by hand in sequence, wheel off the floor first, to the torque "
      "of the maker's service information; again after 50 to 100 km (30 to 60 miles).");
  out.notes.push_back(
      "A nut is read as it begins to turn on. Half, 80 and 125 % are from memory; intervals are "
      "the 4 % that ISO 6789 allows a torque wrench.");
  return out;
}

}  // namespace

BayTool nuts_tool() {
  return {"nuts",
          "Wheel nuts",
          "From the torque at which each nut of a wheel begins to turn on, which are low or loose.",
          {"nuts_loose_found"},
          {"renew_studs_and_nuts"},
          {rows_field("torques", "Torque of each nut",
                      "As it begins to turn on; 0 for one that is missing or turns by hand.",
                      {{"torque", "Torque", Dimension::torque, 0.0, 2000.0}}, 3, 12),
           quantity_field({"stated", "Stated torque", Dimension::torque, 20.0, 1000.0},
                          "From the maker's service information for these wheels.", true)},
          run_nuts,
          "perrev bay nuts --torques \"100, 95, 45, 100, 110 lb ft\" \\\n"
          "    --stated \"100 lb ft\""};
}

}  // namespace perrev
