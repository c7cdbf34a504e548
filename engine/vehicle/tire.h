// Tire designations and what follows from them: size, rolling circumference, turns per distance.
//
// Grammar: ISO 4000-1, ETRTO/TRA practice, UN R30 and R54 (metric, P, LT, T, ST, HL, ZR, commercial
// C, flotation, inch truck sizes, mm-coded). Rolling circumference of a radial is 3.05 outer
// diameters (ETRTO theoretical rolling circumference; the same as the geometric turns per mile
// times 1.03); other factors stand in tire_dimensions.cpp with their sources.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "engine/result.h"

namespace perrev {

enum class TireConstruction { radial, bias, bias_belted };
// Which kind of designation the text is.
enum class TireKind { metric, flotation, inch, millimetre };

struct Tire {
  std::string designation;  // normalised, as it would be moulded on the side
  TireKind kind = TireKind::metric;
  std::string prefix;  // "P", "LT", "T", "ST", "HL" or empty
  TireConstruction construction = TireConstruction::radial;
  double width_mm = 0.0;          // section width; 0 where the designation does not give it
  double aspect_percent = 0.0;    // 0 where it does not apply
  double rim_mm = 0.0;            // nominal rim diameter
  bool commercial = false;        // "C"
  bool speed_class_z = false;     // "Z" before R
  bool run_flat = false;          // "RF" structure
  std::string load_range;         // "E", "XL", "SL"; may be empty
  std::string rim_suffix;         // "A", "U": the special bead of some rims in mm; mostly empty
  std::string marks;              // "M+S 3PMSF", "TL": what else is moulded there; may be empty
  std::optional<int> load_index;  // single
  std::optional<int> load_index_dual;
  std::string speed_symbol;             // "H", "(Y)"; may be empty
  std::optional<double> maximum_speed;  // m/s; for "(Y)" and ZR the speed that it exceeds
  bool above_maximum = false;           // maximum_speed is exceeded by design ("above 300 km/h")
  std::optional<double> maximum_load_kg;
  double outer_diameter = 0.0;         // m, new, unloaded
  double rolling_circumference = 0.0;  // m, new, at placard pressure
  // Relative, one standard deviation: how unsure the diameter itself is, where the designation does
  // not give it and a rule of thumb stands in. 0 where it follows from the designation or a table.
  double size_sd = 0.0;

  bool temporary_spare() const { return prefix == "T"; }
  double turns_per_km() const;
  double turns_per_mile() const;
};

// Errors say which part of the text cannot exist and what would be right.
Result<Tire> parse_tire(std::string_view text);

// What is known of the tire's state; everything optional. SI (m, Pa).
struct TireState {
  std::optional<double> tread_depth;
  std::optional<double> new_tread_depth;  // 8 mm where not known
  std::optional<double> pressure;
  std::optional<double> placard_pressure;
};

// A value with one standard deviation, both in the same unit.
struct Estimate {
  double mean = 0.0;
  double sd = 0.0;
};

// Rolling circumference in m, with one standard deviation: 1.5 % when neither tread nor pressure is
// known, less with each (0.7 % with both on a new tire); more where the size itself is unsure.
Estimate rolling_circumference(const Tire& tire, const TireState& state);

}  // namespace perrev
