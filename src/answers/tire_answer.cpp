#include "src/answers/tire_answer.h"

#include <nlohmann/json.hpp>

#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

// A temporary spare is for this speed and less: 50 mph, 80 km/h. Common practice; it is moulded on
// the tire.
constexpr double kSpareSpeed = 80.5 / 3.6;

// How often the tire turns. A speed that no instrument was named for is a true one.
std::optional<Turning> turning_of(const TireQuestion& asked) {
  if (!asked.speed) return std::nullopt;
  VehicleFacts vehicle;
  vehicle.rear_tire = asked.tire;
  // The tire by itself: a spare's doubt is about an axle whose two wheels turn differently.
  vehicle.rear_tire->prefix.clear();
  vehicle.rear_state = asked.state;
  Motion motion;
  motion.speed = asked.speed;
  motion.by = asked.by ? speed_source_named(*asked.by) : SpeedSource::gps;
  if (!asked.by) motion.speed_reading_sd = 0.0;
  const Rotations found = rotations(vehicle, motion);
  const PartSpeed* wheels = found.find("rear_wheels");
  return wheels ? std::optional<Turning>({*asked.speed, wheels->hz}) : std::nullopt;
}

const char* name_of(TireKind kind) {
  switch (kind) {
    case TireKind::metric:
      return "metric";
    case TireKind::flotation:
      return "flotation";
    case TireKind::inch:
      return "inch";
    case TireKind::millimetre:
      return "millimetre";
  }
  return "";
}

const char* name_of(TireConstruction construction) {
  switch (construction) {
    case TireConstruction::radial:
      return "radial";
    case TireConstruction::bias:
      return "bias";
    case TireConstruction::bias_belted:
      return "bias_belted";
  }
  return "";
}

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json size_or_null(double value) { return value > 0.0 ? Json(six_digits(value)) : Json(nullptr); }

}  // namespace

TireAnswer tire_answer(const TireQuestion& asked) {
  const Tire& tire = asked.tire;
  TireAnswer out;
  out.circumference = rolling_circumference(tire, asked.state);
  out.turning = turning_of(asked);
  if (tire.temporary_spare()) {
    out.cautions.push_back(kSpareCaution);
    if (asked.speed && *asked.speed > kSpareSpeed)
      out.cautions.push_back("The speed asked for is faster than that. Do not drive it.");
  } else if (asked.speed && tire.maximum_speed && !tire.above_maximum &&
             *asked.speed > *tire.maximum_speed) {
    out.cautions.push_back("The speed asked for is above what the tire is made for.");
  }
  return out;
}

Json to_json(const TireQuestion& asked, const TireAnswer& answer) {
  const Tire& tire = asked.tire;
  Json out = {{"designation", tire.designation},
              {"kind", name_of(tire.kind)},
              {"construction", name_of(tire.construction)},
              {"prefix", text_or_null(tire.prefix)},
              {"commercial", tire.commercial},
              {"temporary_spare", tire.temporary_spare()},
              {"section_width_mm", size_or_null(tire.width_mm)},
              {"aspect_percent", size_or_null(tire.aspect_percent)},
              {"rim_diameter_mm", size_or_null(tire.rim_mm)},
              {"outer_diameter_mm", six_digits(1000.0 * tire.outer_diameter)},
              {"rolling_circumference_mm", six_digits(1000.0 * answer.circumference.mean)},
              {"rolling_circumference_sd_mm", six_digits(1000.0 * answer.circumference.sd)},
              {"revs_per_km", six_digits(1000.0 * answer.per_metre())},
              {"revs_per_mile", six_digits(1609.344 * answer.per_metre())},
              {"load_index", or_null(tire.load_index)},
              {"load_index_dual", or_null(tire.load_index_dual)},
              {"load_range", text_or_null(tire.load_range)},
              {"maximum_load_kg", or_null(tire.maximum_load_kg)},
              {"speed_symbol", text_or_null(tire.speed_symbol)},
              {"maximum_speed_km_h",
               tire.maximum_speed ? Json(six_digits(3.6 * *tire.maximum_speed)) : Json(nullptr)},
              {"above_maximum_speed", tire.above_maximum}};
  if (answer.turning) {
    out["speed_km_h"] = six_digits(3.6 * answer.turning->speed);
    out["speed_by"] = or_null(asked.by);
    out["frequency_hz"] = six_digits(answer.turning->hz.mean);
    out["frequency_sd_hz"] = six_digits(answer.turning->hz.sd);
  }
  out["cautions"] = answer.cautions;
  return out;
}

}  // namespace perrev
