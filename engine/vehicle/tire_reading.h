// A tire designation as it was read, between the grammar and the dimensions. Internal to the
// folder.
#pragma once

#include <optional>
#include <string>

#include "engine/result.h"
#include "engine/vehicle/tire.h"

namespace perrev {

// The numbers of a designation, as written and as values.
struct SizeNumber {
  std::string text;  // "7.50": trailing zeros are part of a size's name
  double value = 0.0;
};

struct TireReading {
  Tire tire;               // kind, prefix, construction, service filled in by the grammar
  SizeNumber width;        // mm, or inches in flotation and inch sizes
  SizeNumber aspect;       // percent; empty text where there is none
  SizeNumber outer;        // inches (flotation) or mm (mm-coded)
  SizeNumber rim;          // code: inches up to 30, mm from 100
  char before_radial = 0;  // 'Z', or the speed letter of old sizes such as 195/60HR14
};

// Reads the designation. What comes back keeps to the grammar, and each of its numbers exists.
Result<TireReading> read_designation(std::string_view text);

// Which width, aspect ratio or rim no tire has. Nothing: all is well.
std::optional<Problem> check_numbers(const TireReading& reading);

// Fills in width, rim, diameter and circumference; says if the whole cannot exist.
std::optional<Problem> settle_dimensions(TireReading& reading);

// The designation in its usual spelling; reading it again gives the same tire.
std::string spell(const TireReading& reading);

}  // namespace perrev
