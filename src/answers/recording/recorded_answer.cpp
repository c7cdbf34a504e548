#include "src/answers/recording/recorded_answer.h"

#include <nlohmann/json.hpp>

#include "engine/casefile/vehicle_of.h"
#include "src/answers/recording/recorded_json.h"
#include "src/answers/recording/recorded_pictures.h"
#include "src/answers/recording/recorded_words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

Json or_null(const std::string& svg) { return svg.empty() ? Json() : Json(svg); }

}  // namespace

RecordedVehicle vehicle_in(const RuleBase& base, const OpenCase* open) {
  if (!open) return {};
  return {vehicle_of(base, open->facts, open->facts.rounds.size() - 1),
          answer_known(base, open->facts.now(), "vehicle_kind")};
}

WheelTerms wheel_of(const RuleBase& base, const RecordedVehicle& vehicle) {
  WheelTerms out;
  out.turns_per_metre = usual_of(base.physics, vehicle.kind).wheel.value;
  if (!vehicle.facts.front_tire) return out;
  out.turns_per_metre =
      1.0 / rolling_circumference(*vehicle.facts.front_tire, vehicle.facts.front_state).mean;
  out.lowest_order = AnalysisTerms{}.lowest_wheel_order;
  return out;
}

const std::vector<std::string>& recording_cautions() {
  static const std::vector<std::string> out = {
      "The driver drives and does not touch the recorder: it lies where it cannot slide, and the "
      "second person works it.",
      "A frequency names what turns so fast, not what is wrong with it: measure before parts are "
      "changed."};
  return out;
}

Json recorded_answer(const RuleBase& base, const Recorded& recorded, const RecordedVehicle& vehicle,
                     const OpenCase* open, Units units, double width) {
  const RecordedLines lines = lines_of(base, recorded, vehicle);
  Json out = to_json(recorded, lines);
  out["sentences"] = recorded_sentences(recorded, lines, vehicle, units);
  out["entries"] =
      open ? to_json(recorded_entries(base, open->facts, recorded, lines)) : Json::array();
  out["cautions"] = recording_cautions();
  const RecordedPictures pictures = pictures_of(recorded, lines, vehicle, units, width);
  out["svg"] = {{"spectrum", or_null(pictures.spectrum)},
                {"map", or_null(pictures.map)},
                {"tracks", or_null(pictures.tracks)}};
  return out;
}

}  // namespace perrev
