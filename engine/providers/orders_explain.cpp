// Which line explains a measured frequency.
#include <cmath>
#include <numbers>

#include "engine/providers/orders.h"

namespace perrev {

Explanation explain_frequency(const std::vector<OrderLine>& lines, double measured, double sd) {
  return explain_frequency(lines, measured, sd, std::vector<double>(lines.size(), 1.0), 1.0);
}

Explanation explain_frequency(const std::vector<OrderLine>& lines, double measured, double sd,
                              const std::vector<double>& before, double unexplained) {
  Explanation out;
  double total = out.unexplained = unexplained * else_density(measured);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const double spread = std::hypot(lines[i].hz.sd, sd);
    const double z = (measured - lines[i].hz.mean) / spread;
    const double density =
        before[i] * std::exp(-0.5 * z * z) / (spread * std::sqrt(2.0 * std::numbers::pi));
    out.lines.push_back({lines[i], density});
    total += density;
  }
  for (ExplainedLine& line : out.lines) line.probability /= total;
  out.unexplained /= total;
  return out;
}

}  // namespace perrev
