// One tire's size and turns, as `perrev tire` tells them.
//
// JSON, metric whatever --units says: designation, kind (metric, flotation, inch, millimetre),
// construction (radial, bias, bias_belted), prefix, commercial, temporary_spare, section_width_mm,
// aspect_percent, rim_diameter_mm, outer_diameter_mm, rolling_circumference_mm (in the state that
// --tread and --pressure tell), rolling_circumference_sd_mm, revs_per_km, revs_per_mile,
// load_index, load_index_dual, load_range, maximum_load_kg, speed_symbol, maximum_speed_km_h,
// above_maximum_speed, cautions; with --speed also speed_km_h, speed_by, frequency_hz and
// frequency_sd_hz. What the designation does not tell is null.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "engine/vehicle/rotation.h"

namespace perrev {

// Said wherever a temporary spare comes up.
inline constexpr const char* kSpareCaution =
    "A temporary spare is for 50 mph (80 km/h) and less, never for a drive at speed: with it on, a "
    "road test at speed proves nothing.";

struct TireQuestion {
  Tire tire;
  TireState state;
  std::optional<double> speed;    // m/s
  std::optional<std::string> by;  // what showed the speed: "speedometer" or "gps"
};

struct Turning {
  double speed = 0.0;  // m/s, as asked
  Estimate hz;
};

// What follows from it.
struct TireAnswer {
  Estimate circumference;          // m, in the state it is in
  std::optional<Turning> turning;  // when a speed was given
  std::vector<std::string> cautions;

  double per_metre() const { return 1.0 / circumference.mean; }
};

TireAnswer tire_answer(const TireQuestion& asked);
nlohmann::ordered_json to_json(const TireQuestion& asked, const TireAnswer& answer);

}  // namespace perrev
