// Where a runout comes from: first harmonics read with and without parts, taken apart as vectors.
//
//     on the car = tire + rim + hub + seating        off the car = tire + rim
// Vectors are eccentricities (amplitudes, m) seen at the tread, angles from one and the same mark
// for all of them. What stands elsewhere (a hub face, for a wobble) is scaled to the tread first
// (`times`). Vectors were read apart: a part that follows from two of them has the uncertainty of
// both; the tread on the car and off it scatters alike. Source: addition of vectors at one order;
// limits are common practice.
//
// A runout on the car within its limit clears neither tire nor wheel; what is on the car and not
// off it is hub, fit or dirt.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

enum class RunoutPart { tire, rim, hub, seating };
std::string_view name_of(RunoutPart part);

struct RunoutVectors {
  std::optional<VectorEstimate> on_car = {}, off_car = {};
  std::optional<VectorEstimate> rim = {}, hub = {};
  std::optional<VectorEstimate> seating = {};  // where it was read directly
};

struct RunoutShare {
  std::vector<RunoutPart> parts;  // more than one where nothing tells them apart
  VectorEstimate vector;          // of all of them together
  bool stands = false;            // beyond its own 95 %
};

// Hub and seating together, peak to peak against on-car less off-car of 0.4 and 0.5 mm.
enum class FitSays { clears_fit, leaves_open, accuses_fit };

struct RunoutParts {
  std::vector<RunoutShare> shares;
  std::optional<VectorEstimate> on_less_off;
  std::optional<FitSays> fit_says;
  // On the car less everything that was read: the sum closes where this is within its own 95 %.
  std::optional<VectorEstimate> gap;
  bool gap_stands = false;
  std::size_t most = 0;       // the share with the largest amount
  bool clearly_most = false;  // larger than every other beyond 95 %, and beyond its own
};

inline constexpr double kFitOpen = 0.4e-3, kFitAccused = 0.5e-3;  // m, peak to peak

Result<RunoutParts> runout_parts(const RunoutVectors& of);

}  // namespace perrev
