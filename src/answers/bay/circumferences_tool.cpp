// How far the tires of a vehicle differ in what they roll in a turn, and what that does to it.
#include <algorithm>
#include <cmath>

#include "engine/shopmath/circumferences.h"
#include "src/answers/bay/bay_tools.h"
#include "src/answers/bay/bay_vehicle.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr std::string_view kWheelWords[] = {"left front", "right front", "left rear", "right rear"};
constexpr double kTapeStep = 0.001;  // m
constexpr double kUsualTapeSd = 0.002;

std::string wheel_word(WheelPlace wheel) {
  return std::string(kWheelWords[static_cast<std::size_t>(wheel)]);
}

std::vector<BayColumn> wheel_columns(Dimension dimension, double low, double high, bool required) {
  return {{"left_front", "Left front", dimension, low, high, required},
          {"right_front", "Right front", dimension, low, high, required},
          {"left_rear", "Left rear", dimension, low, high, required},
          {"right_rear", "Right rear", dimension, low, high, required}};
}

using Differences = Result<CircumferenceDifferences, Problems>;

Differences differences_measured(const BayInput& input) {
  const double turns = input.required("turns");
  std::array<std::vector<double>, kWheels> readings;
  for (std::size_t wheel = 0; wheel < kWheels; ++wheel)
    for (const double reading : input.column("circumferences", wheel))
      readings[wheel].push_back(reading / turns);
  auto sd = input.number("tape_sd");
  if (!sd && input.rows("circumferences").size() == 1) sd = kUsualTapeSd;
  if (sd) *sd /= turns;
  const auto made = circumference_differences(readings, {kTapeStep / turns, sd});
  if (!made) return field_problem("circumferences", made.error());
  return *made;
}

Differences differences_by_state(const BayInput& input, const BayContext& context) {
  const auto vehicle = vehicle_at_hand(context);
  if (!vehicle || !vehicle->front_tire)
    return field_problem("circumferences",
                         problem("neither circumferences nor a case with the tire size is given",
                                 "circumferences, or the case and tread depths or pressures"));
  std::array<TireOnWheel, kWheels> wheels;
  for (std::size_t wheel = 0; wheel < kWheels; ++wheel) {
    const bool rear = wheel >= 2 && vehicle->rear_tire;
    wheels[wheel].tire = rear ? *vehicle->rear_tire : *vehicle->front_tire;
    const auto& treads = input.rows("treads");
    const auto& pressures = input.rows("pressures");
    if (!treads.empty()) wheels[wheel].state.tread_depth = treads.front()[wheel];
    if (!pressures.empty()) wheels[wheel].state.pressure = pressures.front()[wheel];
  }
  const auto made = circumference_differences(wheels);
  if (!made) return field_problem("treads", made.error());
  return *made;
}

std::string percent_words(const Interval& of, Units units) {
  return told(of, Dimension::ratio, units);
}

void tell_coupling(const CircumferenceDifferences& made, double speed,
                   const std::optional<double>& ratio, const BayContext& context, BayResult& out) {
  const Interval slip = coupling_slip(made, speed, ratio.value_or(1.0));
  out.numbers.push_back({"coupling_slip",
                         ratio ? "Slip between the shafts" : "Slip between the axles' wheels",
                         Dimension::frequency, slip.value, slip, true});
  const std::string at = "At " + told(speed, Dimension::speed, context.units);
  if (slip.low <= 0.0 && slip.high >= 0.0) {
    out.sentences.push_back(at + " a coupling between the axles slips " +
                            rpm_words(std::fmax(-slip.low, slip.high)) +
                            " at most on a straight road; it may be none at all.");
    return;
  }
  out.sentences.push_back(
      at + " the " + (slip.value < 0.0 ? "rear" : "front") + (ratio ? " shaft" : " axle") +
      " turns " + rpm_words(std::fabs(slip.value)) +
      " faster than the other: so much a coupling between them slips on a straight road.");
}

void tell_beat(const CircumferenceDifferences& made, double speed, BayResult& out) {
  const WheelBeat beat = wheel_beat(made.most, made.mean, speed);
  out.numbers.push_back(
      {"beat", "Two wheels swell together", Dimension::frequency, beat.hz.value, beat.hz});
  if (!std::isfinite(beat.period.high)) {
    out.notes.push_back(
        "Those two wheels may be equal for these readings, so how often they swell is not told.");
    return;
  }
  out.numbers.push_back(
      {"beat_period", "One swelling lasts", Dimension::time, beat.period.value, beat.period});
  out.sentences.push_back("If those two wheels both shake, it swells and fades once in " +
                          fixed(beat.period.value, 1) + " s (" + fixed(beat.period.low, 1) +
                          " to " + fixed(beat.period.high, 1) + ").");
}

Result<BayResult, Problems> run_circumferences(const BayInput& input, const BayContext& context) {
  const Differences made = input.rows("circumferences").empty()
                               ? differences_by_state(input, context)
                               : differences_measured(input);
  if (!made) return made.error();
  BayResult out;
  out.sentences.push_back("In a turn the " + wheel_word(made->larger) + " tire rolls " +
                          percent_words(made->most, context.units) + " farther than the " +
                          wheel_word(made->smaller) + ".");
  const auto number = [&](const char* id, const char* label, const Interval& of) {
    out.numbers.push_back({id, label, Dimension::ratio, of.value, of});
  };
  number("most", "Largest less smallest", made->most);
  number("between_axles", "Front axle less rear", made->between_axles);
  number("across_front", "Front: left less right", made->across_front);
  number("across_rear", "Rear: left less right", made->across_rear);
  const Interval most = size_of(made->most);
  out.feeds.push_back({"circumference_difference", most.value, {}, most});

  const auto vehicle = vehicle_at_hand(context);
  auto speed = input.number("speed");
  if (!speed) speed = worst_speed(context);
  auto ratio = input.number("axle_ratio");
  if (!ratio && vehicle) ratio = vehicle->axle_ratio;
  if (speed && *speed > 0.0) {
    tell_coupling(*made, *speed, ratio, context, out);
    tell_beat(*made, *speed, out);
  } else {
    out.notes.push_back(
        "With a speed it is told how far a coupling slips and how two wheels beat.");
  }
  out.cautions.push_back(
      "A drive that turns both axles needs tires alike in size, make and wear; a difference heats "
      "and breaks its coupling. The strictest makers allow 0.3 %: the maker's word wins.");
  out.notes.push_back(
      "All tires at the same pressure and load while they are measured. A tire that is worn rolls "
      "less far, but by less than its tread says: its belt holds it.");
  return out;
}

}  // namespace

BayTool circumferences_tool() {
  return {"circumferences",
          "Round the tires",
          "From the way round each tire, or its tread and pressure, to how far they differ.",
          {"circumference_difference"},
          {},
          {rows_field("circumferences", "Way round each tire",
                      "By tape round the tread, or marks on the floor after some turns; a row each "
                      "time.",
                      wheel_columns(Dimension::length, 0.8, 60.0, true), 1, 6, false),
           quantity_field({"turns", "Turns", Dimension::count, 1.0, 10.0},
                          "How many turns of the wheel each reading is.", false, "1"),
           quantity_field({"tape_sd", "How far the tape may be off", Dimension::length, 0.0, 0.05},
                          "One standard deviation of a reading; else 2 mm, or with several rows "
                          "what they themselves say."),
           rows_field("treads", "Tread depths",
                      "Where the way round was not measured; the tire size comes from the case.",
                      wheel_columns(Dimension::length, 0.0, 0.03, false), 1, 1, false),
           rows_field("pressures", "Pressures", "As found, all cold.",
                      wheel_columns(Dimension::pressure, 0.0, 2e6, false), 1, 1, false),
           quantity_field({"speed", "Road speed", Dimension::speed, 1.0, 90.0},
                          "Where it is worst; else it comes from the case."),
           quantity_field({"axle_ratio", "Axle ratio", Dimension::count, 1.0, 10.0},
                          "Turns of the shaft in one turn of the wheels; else it comes from the "
                          "case.")},
          run_circumferences,
          "perrev bay circumferences --speed \"60 mph\" \\\n"
          "    --circumferences \"81.2, 81.1, 80.4, 80.4 in\""};
}

}  // namespace perrev
