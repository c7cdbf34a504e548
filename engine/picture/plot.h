// The one plot writer: values in, the text of an SVG picture out.
//
// A plot is one frame with two axes, series drawn in it, and vertical lines that mark places on the
// horizontal axis. The text is a whole XML document that also stands inline in a page: every style
// is bound to the class `perrev-plot`, nothing has an id, and there is no script and no outside
// font or file. It brings colours for light and dark and follows what the reader prefers.
//
// Invariants
//  1. The same plot gives the same bytes, whatever the locale: pixels to 2 decimals, other numbers
//     to 6 significant digits.
//  2. The text is well-formed XML in UTF-8, whatever bytes the labels hold: what is no character
//     becomes "?".
//  3. Every point is drawn where its values say or not at all. Skipped are values that are not
//     finite or beyond 1e100, on a logarithmic axis those under 1e-100, and shapes outside a given
//     range; a line breaks at a skipped point and is cut at the frame, bars and error bars end
//  4. The first six series differ in dash or shape whatever their colour, and no two of the first
//     thirty look alike.
//  5. No label of a mark meets another label or another mark's line, as far as the width of letters
//     can be told without a font.
//  6. No word is cut: the picture is as large as its title, labels and legend need.
//
// Units: the caller's, named on the axes; sizes are CSS pixels. Nothing is an error: a plot with
// nothing to draw but references says "no data".
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "engine/picture/plot_axis.h"

namespace perrev {

struct PlotPoint {
  double x = 0.0;
  double y = 0.0;
  // Ends of the error bar; not a number where there is none.
  double low = std::numeric_limits<double>::quiet_NaN();
  double high = std::numeric_limits<double>::quiet_NaN();
  std::string note = {};  // a few letters beside the point, such as a count
};

enum class PlotKind {
  line,        // joined in the order given
  points,      // a shape at each point
  bars,        // from zero (logarithmic: from the foot of the frame) to y, centred on x
  error_bars,  // a shape at each point and an upright from low to high
};

struct PlotSeries {
  std::string name;  // in the legend; empty: not in it
  PlotKind kind = PlotKind::line;
  std::vector<PlotPoint> points = {};
  bool reference = false;  // something to compare with: thin, grey, takes no colour of its own
  double bar_width = 1.0;  // in units of x
};

struct Plot {
  std::string title;    // also the picture's accessible name
  std::string summary;  // for who can't see it; empty: made of axes, series and marks
  PlotAxis x;
  PlotAxis y;
  bool log_y = false;
  std::vector<PlotSeries> series;
  std::vector<PlotMark> marks;
  double width = 520.0;  // of the frame; 100 to 4000
  double height = 300.0;
};

std::string svg_of(const Plot& plot);

}  // namespace perrev
