#include "src/answers/recording/recorded_words.h"

#include <cmath>

#include "engine/quantity/text.h"
#include "engine/vehicle/tire.h"
#include "src/answers/lines_answer.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr double kEnough = 30.0;   // s, as docs/recording.md asks for
constexpr double kMostOfIt = 0.7;  // of the amplitude: along this axis

OrderLine as_line(const RecordedMeaning& meaning) {
  OrderLine out;
  out.source = meaning.source;
  out.order = meaning.order;
  return out;
}

// What would tell the first two apart. A ratio that nobody looked up parts them best.
std::string what_parts(const std::vector<RecordedMeaning>& meanings) {
  for (const RecordedMeaning* one : {&meanings[0], &meanings[1]}) {
    if (!one->usual) continue;
    if (one->source == "engine" || one->source == "accessory")
      return "Record the engine's speed with it: the recording does not tell it.";
    return "Look up the " +
           std::string(one->source == "motor_rotor" ? "motor's reduction" : "axle ratio") +
           ": it is not known here.";
  }
  return advice_for(as_line(meanings[0]), as_line(meanings[1]));
}

std::string strength_words(const RecordedVibration& vibration) {
  return acceleration_words(vibration.amplitude) + " at its peaks, " +
         fixed(vibration.line.over_floor_db, 0) + " dB above the road";
}

std::string sentence_of(const RecordedVibration& vibration, bool first, Units units) {
  std::string out = where_words(vibration, units) + (first ? " stands out most: " : ": ") +
                    meaning_words(vibration) + ", " + strength_words(vibration) + ", " +
                    direction_words(vibration) + ".";
  if (vibration.ambiguous()) out += " " + what_parts(vibration.meanings);
  return out;
}

std::string circumference_sentence(const Estimate& driven, const VehicleFacts& vehicle,
                                   Units units) {
  const double size = rolling_circumference(*vehicle.front_tire, vehicle.front_state).mean;
  const std::string rolls =
      units == Units::us ? fixed(in_usual_unit(driven.mean, Dimension::length, units), 1) + " in"
                         : fixed(1e3 * driven.mean, 0) + " mm";
  return "By its own turns the tire rolls " + rolls + " each turn, " +
         fixed(100.0 * std::abs(driven.mean / size - 1.0), 1) + " % " +
         (driven.mean < size ? "less" : "more") + " than its size says (uncertain by " +
         fixed(200.0 * driven.sd / driven.mean, 1) + " %).";
}

}  // namespace

std::string about(const RecordedMeaning& meaning) {
  const bool whole_or_half =
      std::fabs(2.0 * meaning.order - std::round(2.0 * meaning.order)) < 1e-9;
  if (meaning.source != "engine" || !meaning.usual || whole_or_half) return meaning.about();
  return meaning.order > 2.0 ? "engine firing order" : "half the engine firing order";
}

std::string acceleration_words(double acceleration) {
  return fixed(acceleration, acceleration < 0.1 ? 3 : acceleration < 10.0 ? 2 : 1) + " m/s\u00B2";
}

std::string where_words(const RecordedVibration& vibration, Units units) {
  std::string out = show_rounded(vibration.hz, Dimension::frequency, units);
  if (vibration.speed > 0.0) out += " at " + show_rounded(vibration.speed, Dimension::speed, units);
  return out;
}

std::string direction_words(const RecordedVibration& vibration) {
  static constexpr std::array<const char*, kAxes> kWays = {"fore and aft", "sideways",
                                                           "up and down"};
  double squares = 0.0;
  for (const double amplitude : vibration.line.amplitude) squares += amplitude * amplitude;
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    if (std::pow(vibration.line.amplitude[axis], 2) >= kMostOfIt * squares)
      return std::string("mostly ") + kWays[axis];
  return "in several directions";
}

std::string meaning_words(const RecordedVibration& vibration) {
  if (vibration.meanings.empty() && vibration.speed <= 0.0)
    return "what turns so fast cannot be told without a speed";
  if (vibration.meanings.empty() || vibration.unexplained > vibration.meanings[0].probability)
    return "nothing that is known to turn so fast on this vehicle";
  std::string out = about(vibration.meanings[0]);
  if (vibration.ambiguous()) out += " or " + about(vibration.meanings[1]);
  return out;
}

std::vector<std::string> recorded_sentences(const Recorded& recorded, const RecordedLines& lines,
                                            const RecordedVehicle& vehicle, Units units) {
  std::vector<std::string> out;
  for (const RecordedVibration& vibration : lines.vibrations)
    out.push_back(sentence_of(vibration, out.empty(), units));
  if (out.empty())
    out.emplace_back(
        "Nothing stands out of the road's own vibration. Record it where the customer feels it: at "
        "that speed, at least 30 s long, on as smooth a road as there is.");
  if (recorded.analysis.metres <= 0.0)
    out.emplace_back(
        "No speed is known, so nothing can be held against what turns with the road: record one, "
        "or "
        "say which was held.");
  else if (!lines.vibrations.empty() && !vehicle.facts.front_tire)
    out.emplace_back(
        "The tire size is not known here, so all that turns with the road goes by typical "
        "vehicles: look it up.");
  if (recorded.analysis.seconds < kEnough)
    out.push_back("It is only " + fixed(recorded.analysis.seconds, 0) +
                  " s long, so what is weak may be chance: record at least " + fixed(kEnough, 0) +
                  " s.");
  if (lines.circumference)
    out.push_back(circumference_sentence(*lines.circumference, vehicle.facts, units));
  if (recorded.analysis.tracked_seconds < recorded.analysis.seconds - 1.0 &&
      !recorded.analysis.tracks.empty())
    out.push_back("How strong it is at each speed is told from the first " +
                  fixed(recorded.analysis.tracked_seconds / 60.0, 0) + " minutes.");
  return out;
}

}  // namespace perrev
