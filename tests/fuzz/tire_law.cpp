#include "tests/fuzz/tire_law.h"

#include <cmath>
#include <tuple>

#include "engine/quantity/text.h"
#include "engine/vehicle/tire.h"
#include "tests/engine/knowledge/badly_told.h"

namespace perrev::fuzz {

namespace {

auto parts_of(const Tire& tire) {
  return std::tie(tire.designation, tire.kind, tire.prefix, tire.construction, tire.width_mm,
                  tire.aspect_percent, tire.rim_mm, tire.commercial, tire.speed_class_z,
                  tire.run_flat, tire.load_range, tire.rim_suffix, tire.marks, tire.load_index,
                  tire.load_index_dual, tire.speed_symbol, tire.maximum_speed, tire.above_maximum,
                  tire.maximum_load_kg, tire.outer_diameter, tire.rolling_circumference,
                  tire.size_sd);
}

bool within(double value, double low, double high) { return value >= low && value <= high; }

// Wide enough for the smallest temporary spare and the largest truck tire on the road.
std::string broken_sizes(const Tire& tire) {
  if (!within(tire.outer_diameter, 0.4, 1.45)) return "no such diameter";
  if (!within(tire.rolling_circumference / tire.outer_diameter, 2.9, 3.1))
    return "no such circumference";
  if (!within(tire.turns_per_km() * tire.rolling_circumference, 999.999, 1000.001) ||
      !within(tire.turns_per_mile() / tire.turns_per_km(), 1.609343, 1.609345))
    return "turns that do not go with the circumference";
  if (!within(tire.rim_mm, 200.0, 800.0) || tire.rim_mm >= 1000.0 * tire.outer_diameter)
    return "no such rim";
  if (!within(tire.size_sd, 0.0, 0.1)) return "no such spread";
  if (tire.maximum_load_kg && !within(*tire.maximum_load_kg, 40.0, 20000.0)) return "no such load";
  if (tire.maximum_speed && !within(*tire.maximum_speed, 1.0, 100.0)) return "no such speed";
  return "";
}

std::string broken_state(const Tire& tire, const TireState& state) {
  const Estimate rolls = rolling_circumference(tire, state);
  if (!within(rolls.mean / tire.rolling_circumference, 0.8, 1.1)) return "no such circumference";
  return within(rolls.sd / rolls.mean, 0.005, 0.15) ? "" : "no such spread of the circumference";
}

std::string broken_tire(const Tire& tire) {
  if (auto wrong = broken_sizes(tire); !wrong.empty()) return wrong;
  constexpr double kMillimetre = 1e-3, kBar = 1e5;
  for (const TireState& state :
       {TireState{}, TireState{0.0, {}, {}, {}},
        TireState{2 * kMillimetre, 8 * kMillimetre, {}, {}},
        TireState{8 * kMillimetre, {}, 2.5 * kBar, 2.5 * kBar},
        TireState{{}, {}, 0.5 * kBar, 9 * kBar}, TireState{1.0, -1.0, 1e9, 0.0}})
    if (auto wrong = broken_state(tire, state); !wrong.empty()) return wrong;
  for (const std::string& text : {tire.designation, lower_case(tire.designation)}) {
    const auto again = parse_tire(text);
    if (!again) return "it cannot be read as it is shown: " + again.error().text();
    if (parts_of(*again) != parts_of(tire)) return "another tire as it is shown: " + text;
  }
  return "";
}

}  // namespace

std::string broken_tire_law(std::string_view text) {
  const auto tire = parse_tire(text);
  if (tire) return broken_tire(*tire);
  return tire.error().right.empty() ? "it is not said what would be right"
                                    : small::badly_worded(tire.error());
}

bool tire_comes_through(std::string_view text) { return parse_tire(text).ok(); }

}  // namespace perrev::fuzz
