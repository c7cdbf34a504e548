// Tire pressure against the label of the car, which states it cold.
//
// A tire that was driven is warm and its pressure up: the gas keeps its volume, so the absolute
// pressure goes as the absolute temperature (gas law; 1 % for each 3 K). What it would be cold is
// compared. Gauge pressures in Pa, temperatures in K; intervals of 95 %.
#pragma once

#include <optional>

#include "engine/result.h"
#include "engine/shopmath/scatter.h"

namespace perrev {

inline constexpr double kAtmosphere = 101325.0;  // Pa, standard: ISO 2533
inline constexpr double kFreezing = 273.15;      // K

struct WarmTire {
  double tire = 0.0;     // the air in it, as near as tread or wheel tell
  double outside = 0.0;  // what it would be at cold
  double sd = 5.0;       // of the tire's
};

struct TirePressureReading {
  double found = 0.0;
  double label = 0.0;
  Scatter gauge;  // of the reading
  std::optional<WarmTire> warm = std::nullopt;
};

struct TirePressure {
  Interval cold;       // Pa
  Interval deviation;  // of the label's; negative: under
};

double pressure_at(double gauge_pressure, double temperature, double other_temperature);

Result<TirePressure> tire_pressure(const TirePressureReading& reading);

// More than this under the label: it may have been driven flat, so look inside before it is filled
// and used (common practice).
inline constexpr double kFarUnderLabel = 0.25;

}  // namespace perrev
