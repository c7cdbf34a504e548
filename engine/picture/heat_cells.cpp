#include "engine/picture/heat_cells.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <map>

namespace perrev::svg {

namespace {

constexpr double kFinest = 2.0;            // px
constexpr std::size_t kMostCells = 12000;  // 17 bytes each where no two neighbours are alike
constexpr std::size_t kUnknown = kHeatSteps;

// Cells along one axis, so many of them merged into one.
struct Along {
  double first, step;      // of a cell as given
  double low, high;        // ends of the frame
  std::size_t begin, end;  // cells of which a part is in the frame
  std::size_t merged = 1;

  Along(double from, double width, std::size_t count, const Scale& scale)
      : first(from), step(width), low(scale.low), high(scale.high), begin(0), end(count) {
    while (begin < end && first + step * static_cast<double>(begin + 1) <= low) ++begin;
    while (end > begin && first + step * static_cast<double>(end - 1) >= high) --end;
    while (pixels(scale) < kFinest && merged < end - begin) ++merged;
  }
  std::size_t drawn() const { return (end - begin + merged - 1) / merged; }
  double pixels(const Scale& scale) const {
    return static_cast<double>(merged) * step / (high - low) * std::fabs(scale.to - scale.from);
  }
  // Where that drawn cell begins, in the frame.
  double edge(std::size_t cell) const {
    const std::size_t given = std::min(begin + cell * merged, end);
    return std::clamp(first + step * static_cast<double>(given), low, high);
  }
};

double highest_in(const HeatMap& map, const Along& x, std::size_t column, const Along& y,
                  std::size_t row) {
  double out = -std::numeric_limits<double>::infinity();
  for (std::size_t j = y.begin + row * y.merged;
       j < std::min(y.begin + (row + 1) * y.merged, y.end); ++j) {
    const std::vector<double>& values = map.rows[j];
    const std::size_t end = std::min({x.begin + (column + 1) * x.merged, x.end, values.size()});
    for (std::size_t i = x.begin + column * x.merged; i < end; ++i)
      if (std::fabs(values[i]) <= kLargest) out = std::max(out, values[i]);
  }
  return out;
}

std::size_t step_of(double value, const Scale& scale) {
  if (!(std::fabs(value) <= kLargest)) return kUnknown;
  const double part = scale.inside(value) / scale.to * static_cast<double>(kHeatSteps);
  return std::min(static_cast<std::size_t>(part), kHeatSteps - 1);
}

}  // namespace

std::string heat_path(std::size_t step, const std::string& d) {
  const double part = static_cast<double>(step) / static_cast<double>(kHeatSteps - 1);
  const std::string opacity = px(0.04 + 0.96 * part);
  return d.empty() ? "" : "<path stroke-opacity=\"" + opacity + "\" d=\"" + d + "\"/>\n";
}

std::string heat_group(const std::string& thickness, const std::string& body) {
  return "<g class=\"heat\" shape-rendering=\"crispEdges\" stroke-width=\"" + thickness + "\">\n" +
         body + "</g>\n";
}

std::size_t columns_of(const HeatMap& map) {
  std::size_t out = 0;
  for (const std::vector<double>& row : map.rows) out = std::max(out, row.size());
  return out;
}

HeatRange range_of(const HeatMap& map) {
  HeatRange out;
  for (std::size_t j = 0; j < map.rows.size(); ++j) {
    for (std::size_t i = 0; i < map.rows[j].size(); ++i) {
      const double value = map.rows[j][i];
      if (!(std::fabs(value) <= kLargest)) continue;
      const double x = map.first_x + map.step_x * (static_cast<double>(i) + 0.5);
      const double y = map.first_y + map.step_y * (static_cast<double>(j) + 0.5);
      if (!out.any) out = {true, value, {x, y, value}};
      out.low = std::min(out.low, value);
      if (value > out.highest.value) out.highest = {x, y, value};
    }
  }
  return out;
}

DrawnCells cells_of(const HeatMap& map, const Frame& frame, const Scale& value) {
  Along x(map.first_x, map.step_x, columns_of(map), frame.x);
  Along y(map.first_y, map.step_y, map.rows.size(), frame.y);
  while (x.drawn() * y.drawn() > kMostCells)
    ++(x.pixels(frame.x) < y.pixels(frame.y) ? x : y).merged;
  using Runs = std::array<std::string, kHeatSteps + 1>;
  std::map<std::string, Runs> by_thickness;  // rows cut by the frame are thinner
  for (std::size_t row = 0; row < y.drawn(); ++row) {
    const double foot = frame.y.at(y.edge(row)), head = frame.y.at(y.edge(row + 1));
    Runs& runs = by_thickness[px(foot - head)];
    std::size_t begin = 0, step = 0;
    for (std::size_t column = 0; column <= x.drawn(); ++column) {
      const bool end = column == x.drawn();
      const std::size_t next = end ? 0 : step_of(highest_in(map, x, column, y, row), value);
      if (column > 0 && (end || next != step)) {
        const double left = frame.x.at(x.edge(begin)), right = frame.x.at(x.edge(column));
        runs[step] += "M" + px(left, (foot + head) / 2.0) + "h" + px(right - left);
        begin = column;
      }
      step = next;
    }
  }
  DrawnCells out;
  for (const auto& [thickness, runs] : by_thickness) {
    std::string body;
    for (std::size_t step = 0; step < kHeatSteps; ++step) body += heat_path(step, runs[step]);
    body += path("unknown", runs[kUnknown]);
    out.any_unknown = out.any_unknown || !runs[kUnknown].empty();
    out.body += heat_group(thickness, body);
  }
  return out;
}

}  // namespace perrev::svg
