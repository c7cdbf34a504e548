// Which line explains a measured frequency.
#include <cmath>

#include "engine/normal.h"
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
    const double density = before[i] * normal_density(measured, lines[i].hz.mean, spread);
    out.lines.push_back({lines[i], density});
    total += density;
  }
  for (ExplainedLine& line : out.lines) line.probability /= total;
  out.unexplained /= total;
  return out;
}

}  // namespace perrev
