// A wheel on the balancer: its planes from the form of the balance tool, and what was read in them.
#pragma once

#include <string>
#include <vector>

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
// The heavy moment one plane shows, by its column of `spins`: the mean of them.
Result<VectorEstimate, Problems> plane_moment(const BayInput& input, std::size_t column,
                                              double radius);

}  // namespace perrev
