// One axis: from the caller's values to pixels. Inside the pictures only.
#pragma once

#include <optional>
#include <vector>

#include "engine/picture/plot_axis.h"

namespace perrev::svg {

struct Scale {
  bool log = false;
  double from = 0.0, to = 0.0;  // px of its ends
  double low = 1.0, high = 10.0;
  std::vector<double> ticks = {};

  // Values that can be drawn at all.
  bool takes(double v) const;
  double at(double v) const;
  // The nearest pixel between the ends.
  double inside(double v) const;
  // It lies between the ends.
  bool holds(double v) const;
  // As far as the range, or else as the values; nothing to go by leaves it without ticks.
  void cover(const std::optional<PlotRange>& range, const std::vector<double>& values);
};

}  // namespace perrev::svg
