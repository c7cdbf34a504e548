// A wheel on the balancer: its planes from the form of the balance tool, and what was read in them.
#pragma once

#include <string>
#include <vector>

#include "engine/shopmath/two_planes.h"
#include "engine/shopmath/weights.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// kg, of one reading where nothing tells: common practice.
inline constexpr double kReadingSd = 0.001;

// Positions from the inner flange, outwards.
struct WheelPlanes {
  double radius = 0.0, width = 0.0;  // of the flanges, and between them
  Plane inner_read, outer_read;
  std::vector<CorrectionPlane> weights;
  std::vector<std::string> names;  // of the planes of weights
  std::vector<double> segments;    // size of a segment; 0: clip-on
};

Result<WheelPlanes, Problems> planes_of(const BayInput& input);
// Of clip-on weights, as `field` tells; else a quarter ounce, or 5 g where the first column of
// `readings` is in grams.
double clip_step(const BayInput& input, std::string_view field, std::string_view readings);

// What the balancer shows: the mass of each of two planes, the static mass alone, or static and
// couple, the latter as the mass on each flange with the place of the outer one.
BayField reads_field();
bool couple_is_read(const BayInput& input);
// What the spins tell, as a mean; without a couple where none was read.
Result<Unbalance, Problems> unbalance_read(const BayInput& input, const WheelPlanes& wheel);

}  // namespace perrev
