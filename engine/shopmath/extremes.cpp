#include "engine/shopmath/extremes.h"

#include <algorithm>
#include <cmath>

namespace perrev {
namespace {

// How near another reading has to come to be a rival for the end.
double nearness(const Scatter& scatter) { return 1.5 * std::sqrt(2.0) * scatter.half_width(); }

double count_within(const std::vector<double>& readings, double low, double high) {
  double out = 0.0;
  for (const double reading : readings) out += low <= reading && reading <= high;
  return out;
}

}  // namespace

Interval spread_of(const std::vector<double>& readings, const Scatter& scatter) {
  const double low = *std::min_element(readings.begin(), readings.end());
  const double high = *std::max_element(readings.begin(), readings.end());
  const double near = nearness(scatter), pair = std::sqrt(2.0), spread = high - low;
  const double rivals =
      count_within(readings, low, low + near) * count_within(readings, high - near, high);
  return {spread, std::max(0.0, spread - pair * half_width_outside(scatter, 0.05 / rivals)),
          spread + pair * scatter.half_width()};
}

Interval lowest_of(const std::vector<double>& readings, const Scatter& scatter) {
  const double low = *std::min_element(readings.begin(), readings.end());
  const double rivals = count_within(readings, low, low + nearness(scatter));
  return {low, low - scatter.half_width(), low + half_width_outside(scatter, 0.05 / rivals)};
}

}  // namespace perrev
