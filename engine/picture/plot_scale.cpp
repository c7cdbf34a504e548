#include "engine/picture/plot_scale.h"

#include <algorithm>
#include <cmath>

#include "engine/picture/svg_text.h"

namespace perrev {

namespace svg {

namespace {

constexpr double kNarrowest = 1e-4;  // of a range's ends: its ticks still differ in six digits
constexpr double kSlack = 1e-9;      // of a step: rounding must not cost a tick
constexpr double kFar = 1e5;         // px; what browsers still draw right

double power_of_ten(double exponent) {
  return exponent < 0.0 ? 1.0 / std::pow(10.0, -exponent) : std::pow(10.0, exponent);
}

bool wide_enough(double low, double high) {
  const double size = std::max(std::fabs(low), std::fabs(high));
  return size >= kSmallest && size <= 2.0 * kLargest && high - low >= kNarrowest * size;
}

// The finest ticks that are not too many. They are 4 at least, because the next finer step would
// have given more than 8 or 10, and no step is over 2.5 times the one before.
std::vector<double> nice_ticks(double low, double high, bool cover) {
  const double most = cover ? 8.0 : 10.0;
  std::vector<double> out;
  if (!wide_enough(low, high)) return out;
  double count = most + 1.0;
  for (double exponent = std::floor(std::log10(high - low)) - 1.0; count > most; exponent += 1.0) {
    // Divided by a whole power of ten, 3 steps of 0.1 are 0.3 to the last bit.
    const double over = exponent < 0.0 ? power_of_ten(-exponent) : 1.0;
    for (const double digit : {1.0, 2.0, 5.0}) {
      const double times = exponent < 0.0 ? digit : digit * power_of_ten(exponent);
      const double start = low / times * over, end = high / times * over;
      const double first = cover ? std::floor(start + kSlack) : std::ceil(start - kSlack);
      count = (cover ? std::ceil(end - kSlack) : std::floor(end + kSlack)) - first + 1.0;
      if (count > most) continue;
      for (int i = 0; i < static_cast<int>(count); ++i)
        out.push_back((first + i) * times / over + 0.0);
      break;
    }
  }
  return out;
}

// Whole decades; one or two get 2 and 5 between them, of more than nine only every few are ticks.
std::vector<double> decades_over(double low, double high) {
  const double first = std::floor(std::log10(low) + kSlack);
  const int count = static_cast<int>(std::max(std::ceil(std::log10(high) - kSlack) - first, 1.0));
  const int step = (count + 8) / 9;
  std::vector<double> out = {power_of_ten(first)};
  for (int done = step; done < count + step; done += step) {
    if (count <= 2) out.insert(out.end(), {2.0 * out.back(), 5.0 * out.back()});
    out.push_back(power_of_ten(first + done));
  }
  return out;
}

}  // namespace

bool Scale::takes(double v) const { return std::fabs(v) <= kLargest && (!log || v >= kSmallest); }

double Scale::at(double v) const {
  if (log && v <= 0.0) return from;
  const double part = log ? std::log10(v / low) / std::log10(high / low) : (v - low) / (high - low);
  return std::clamp(from + part * (to - from), -kFar, kFar);
}

double Scale::inside(double v) const {
  return std::clamp(at(v), std::min(from, to), std::max(from, to));
}

bool Scale::holds(double v) const { return takes(v) && std::fabs(at(v) - inside(v)) < 0.01; }

void Scale::cover(const std::optional<PlotRange>& range, const std::vector<double>& values) {
  const bool given =
      range && takes(range->low) && takes(range->high) && wide_enough(range->low, range->high);
  double first = given ? range->low : kLargest, last = given ? range->high : -kLargest;
  for (const double value : values) {
    if (!given && takes(value)) first = std::min(first, value), last = std::max(last, value);
  }
  if (first > last) return;
  if (!log && !wide_enough(first, last)) {
    const double size = std::max(std::fabs(first), std::fabs(last));
    first = size < kSmallest ? 0.0 : first - 0.1 * size;
    last = size < kSmallest ? 1.0 : last + 0.1 * size;
  }
  ticks = log ? decades_over(first, last) : nice_ticks(first, last, !given);
  low = given && !log ? first : ticks.front();
  high = given && !log ? last : ticks.back();
}

}  // namespace svg

std::vector<double> ticks_over(double low, double high) { return svg::nice_ticks(low, high, true); }
std::vector<double> ticks_within(double low, double high) {
  return svg::nice_ticks(low, high, false);
}

}  // namespace perrev
