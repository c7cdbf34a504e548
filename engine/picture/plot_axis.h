// Axes, ticks and marks of the pictures that have a frame: plot.h and heat_map.h.
//
// Units: the caller's, named on the axes.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace perrev {

// A vertical line over the whole frame, its label above the frame.
struct PlotMark {
  double x = 0.0;
  std::string label;
};

struct PlotRange {
  double low = 0.0;
  double high = 1.0;
};

struct PlotAxis {
  std::string label;
  std::string unit = {};  // in brackets behind the label; may be empty
  // None: as far as points, error bars, bars from their zero, and marks reach, on to the next tick.
  // One that is upside down or narrower than 1/10,000 of its larger end counts as none. On a
  // logarithmic axis it is opened to whole decades.
  std::optional<PlotRange> range = {};
};

// Ticks at multiples of 1, 2 or 5 times a power of ten. `ticks_over`: 4 to 8, of which the first
// and the last enclose the range. `ticks_within`: the 4 to 10 that lie in it. None for a range that
// is upside down, narrower than 1/10,000 of its larger end, or not finite.
std::vector<double> ticks_over(double low, double high);
std::vector<double> ticks_within(double low, double high);

}  // namespace perrev
