// The one writer of maps: values by two axes in, the text of an SVG picture out.
//
// A map is a frame whose cells are the fuller of colour the higher their value, and lines across it
// that say what a ridge would be. The text is a picture of the kind that plot.h describes: it
// stands alone or in a page, has the same style sheet, colours for light and dark, title and
// summary for who can't see it, and its invariants 1, 2, 5 and 6 hold here too. And:
//  1. One hue: values differ in lightness alone, in twelve equal steps, and the scale under the map
//     says which is which. Cells of no value are hatched and never take part in it.
//  2. Cells are merged until each is 2 px wide and high and there are 12,000 at most, so that no
//  map
//     is larger than 300 kB. What is merged is as high as its highest: no ridge gets lost.
//  3. A line is drawn where it lies in the frame. Its label stands where it leaves it, above or to
//     the right; where more leave to the right than rows of words fit, the lowest go without.
//
// Units: the caller's, named on the axes; sizes are CSS pixels. Nothing is an error: a map without
// any value says "no data".
#pragma once

#include <string>
#include <vector>

#include "engine/picture/plot_axis.h"

namespace perrev {

// x = at + slope y. Not drawn where the slope is below zero: order lines lean to the right.
struct HeatLine {
  double at = 0.0, slope = 0.0;
  std::string label;
};

struct HeatMap {
  std::string title;    // also the picture's accessible name
  std::string summary;  // for who can't see it; empty: made of axes, the highest cell and the lines
  PlotAxis x, y;        // no range: that of the cells
  PlotAxis value;  // no range: from the lowest to the highest; what lies outside takes its ends
  double first_x = 0.0, step_x = 1.0;  // where the first cell begins, and width of one; above 0
  double first_y = 0.0, step_y = 1.0;
  std::vector<std::vector<double>> rows;  // by y, by x; what is not finite is not known
  std::string unknown = "no data";        // what such cells are called
  std::vector<HeatLine> lines;
  double width = 520.0;  // of the frame; 100 to 4000
  double height = 300.0;
};

std::string svg_of(const HeatMap& map);

}  // namespace perrev
