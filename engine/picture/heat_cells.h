// The cells of a map as they are drawn: merged, and each in one of a few steps of lightness. Inside
// the pictures only.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "engine/picture/heat_map.h"
#include "engine/picture/plot_frame.h"

namespace perrev::svg {

inline constexpr std::size_t kHeatSteps = 12;

// Strokes of a step, and strokes of one thickness together.
std::string heat_path(std::size_t step, const std::string& d);
std::string heat_group(const std::string& thickness, const std::string& body);

// Cells of the longest row.
std::size_t columns_of(const HeatMap& map);

struct HeatCell {
  double x = 0.0, y = 0.0, value = 0.0;  // its middle, in units of the axes
};

// Of what is known: the lowest value, and the first cell of the highest.
struct HeatRange {
  bool any = false;
  double low = 0.0;
  HeatCell highest;
};
HeatRange range_of(const HeatMap& map);

// Runs of cells of one step as strokes as thick as a row is high. `value` begins at 0.
struct DrawnCells {
  std::string body;
  bool any_unknown = false;
};
DrawnCells cells_of(const HeatMap& map, const Frame& frame, const Scale& value);

}  // namespace perrev::svg
