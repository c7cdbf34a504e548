// What pictures with a frame share: its two scales, axes with ticks, and labels above it. Inside
// the pictures only.
#pragma once

#include <string>
#include <vector>

#include "engine/picture/plot_scale.h"
#include "engine/picture/svg_text.h"

namespace perrev::svg {

// The space between the axes; its corner top left is the origin of all pixels. Sizes out of 100 to
// 4,000 are taken for the nearest of them.
struct Frame {
  Scale x, y;

  Frame(double width, double height);
};

// "Speed (mph)"
std::string named(const PlotAxis& axis);

// The ticks of a scale from left to right that get their number: all, or every other one where
// those would touch.
std::vector<double> numbered_ticks(const Scale& scale);

// Grid, frame, ticks, and what the axes are.
void draw_axes(const PlotAxis& x, const PlotAxis& y, const Frame& frame, Sheet& sheet);

// A label above the frame, at the upper end of a line that begins in it.
struct TopLabel {
  double x = 0.0;  // px
  std::string label;
};
// None meets another one or another one's line. The lines run down to `foot`.
void draw_top_labels(std::vector<TopLabel> labels, double foot, Sheet& sheet);

}  // namespace perrev::svg
