#include <array>
#include <nlohmann/json.hpp>

#include "src/answers/feel_answer.h"
#include "src/answers/feel_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kEvery = 5;  // km/h between the points that are printed

// In the order of Push.
constexpr std::array kPushKeys = {"vertical_n", "fore_aft_n", "steer_nm",  "lateral_n",
                                  "shaft_n",    "axial_n",    "torque_nm", "pressure_n"};
static_assert(kPushKeys.size() == kPushes);

Json number_or_null(const std::optional<double>& value, double unit) {
  return value ? Json(six_digits(*value / unit)) : Json(nullptr);
}

Json json_of(const FeltAtPlace& place) {
  return {
      {"acceleration_m_s2", six_digits(place.acceleration)},
      {"weighted_m_s2", six_digits(place.weighted)},
      {"just_felt_m_s2", six_digits(place.just_felt)},
      {"level_db", place.level_db > kNotThere ? Json(six_digits(place.level_db)) : Json(nullptr)},
      {"probability", six_digits(place.probability)}};
}

Json json_of(const FeltPoint& point) {
  Json out = {{"speed_km_h", six_digits(3.6 * point.speed)},
              {"frequency_hz", six_digits(point.hz)},
              {"pushes", Json::object()},
              {"places", Json::object()},
              {"probability", six_digits(point.probability)}};
  for (std::size_t i = 0; i < kPushKeys.size(); ++i)
    out["pushes"][kPushKeys[i]] = six_digits(point.pushes[i]);
  for (std::size_t i = 0; i < point.places.size(); ++i)
    out["places"][std::string(name_of(static_cast<FeltPlace>(i)))] = json_of(point.places[i]);
  return out;
}

Json worst_json(const FeelAnswer& answer) {
  if (!answer.worst) return nullptr;
  return {{"speed_km_h", six_digits(3.6 * answer.worst->speed)},
          {"place", name_of(answer.worst_place)},
          {"probability", six_digits(answer.worst->probability)},
          {"strength", answer.strength.empty() ? Json(nullptr) : Json(answer.strength)}};
}

}  // namespace

Json to_json(const FeelQuestion& asked, const FeelAnswer& answer, Units units) {
  const FeelFault& fault = asked.fault;
  const double unit = si_per_unit(fault.kind);
  const auto& tire = fault.front >= 0.5 ? asked.vehicle.front_tire : asked.vehicle.rear_tire;
  Json out = {{"vehicle_kind", answer.vehicle_kind},
              {"tire", tire ? Json(tire->designation) : Json(nullptr)},
              {"circumference_mm", six_digits(1000.0 * answer.circumference)},
              {"cause", fault.cause < 0 ? Json(nullptr) : Json(fault.cause_id)},
              {"kind", name_of(fault.kind)},
              {"size", six_digits(fault.size / unit)},
              {"size_unit", unit_of(fault.kind)},
              {"source", fault.source},
              {"order", six_digits(fault.order)},
              {"turns_per_km", six_digits(1000.0 * answer.turns_per_metre)},
              {"front_probability", six_digits(fault.front)},
              {"curve", Json::array()}};
  for (std::size_t i = 0; i < answer.curve.size(); i += kEvery)
    out["curve"].push_back(json_of(answer.curve[i]));
  out["at_speed"] = answer.at_speed ? json_of(*answer.at_speed) : Json(nullptr);
  out["worst"] = worst_json(answer);
  out["half_from_km_h"] = number_or_null(answer.half_from, 1.0 / 3.6);
  out["half_to_km_h"] = number_or_null(answer.half_to, 1.0 / 3.6);
  out["sizes"] = {{"one_in_six", number_or_null(answer.sizes.few, unit)},
                  {"half", number_or_null(answer.sizes.half, unit)},
                  {"five_in_six", number_or_null(answer.sizes.most, unit)}};
  out["sentences"] = feel_sentences(asked, answer, units);
  out["cautions"] = answer.cautions;
  out["notes"] = answer.notes;
  return out;
}

}  // namespace perrev
