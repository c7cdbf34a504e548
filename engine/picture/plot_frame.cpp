#include "engine/picture/plot_frame.h"

#include <algorithm>
#include <cstddef>

#include "engine/quantity/quantity.h"

namespace perrev::svg {

Frame::Frame(double width, double height) {
  const auto size = [](double of) { return of >= 100.0 ? std::min(of, 4000.0) : 100.0; };
  x.to = size(width);
  y.from = size(height);
}

std::string named(const PlotAxis& axis) {
  return axis.unit.empty() ? axis.label : axis.label + " (" + axis.unit + ")";
}

std::vector<double> numbered_ticks(const Scale& scale) {
  double widest = 0.0;
  for (const double tick : scale.ticks) widest = std::max(widest, width_of(show_number(tick)));
  const std::size_t count = scale.ticks.size();
  const double width = scale.to - scale.from;
  const bool crowded = (widest + kGap) * static_cast<double>(count) > width + widest;
  std::vector<double> out;
  for (std::size_t i = 0; i < count; i += crowded ? 2 : 1) out.push_back(scale.ticks[i]);
  return out;
}

void draw_axes(const PlotAxis& x, const PlotAxis& y, const Frame& frame, Sheet& sheet) {
  const double width = frame.x.to, height = frame.y.from;
  std::string grid;
  for (const double tick : frame.y.ticks) {
    grid += "M" + px(0.0, frame.y.at(tick)) + "h" + px(width);
    sheet.write("y-tick", -kGap, frame.y.at(tick) + 4.0, show_number(tick), "end");
  }
  for (const double tick : frame.x.ticks)
    grid += "M" + px(frame.x.at(tick), 0.0) + "v" + px(height);
  for (const double tick : numbered_ticks(frame.x))
    sheet.write("x-tick", frame.x.at(tick), height + kRow, show_number(tick), "middle");
  sheet.body += path("grid", grid) + path("frame", "M0 0H" + px(width) + "V" + px(height) + "H0z");
  sheet.write("axis", width / 2.0, height + 2.2 * kRow, named(x), "middle");
  sheet.write_upright(sheet.box.left - kGap, height / 2.0, named(y));
}

// From the right to the left, each label to the right of its line and above all whose lines it
// would meet: those lines end under it, and lines further left don't come near it.
void draw_top_labels(std::vector<TopLabel> labels, double foot, Sheet& sheet) {
  std::sort(labels.begin(), labels.end(), [](const TopLabel& a, const TopLabel& b) {
    return a.x != b.x ? a.x > b.x : a.label > b.label;
  });
  std::string lines;
  std::vector<double> rows;
  for (const TopLabel& each : labels) {
    const double end = each.x + 4.0 + width_of(each.label) + kGap;
    double row = 0.0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (labels[i].x < end) row = std::max(row, rows[i] + 1.0);
    }
    rows.push_back(row);
    const double base = -6.0 - row * kRow;
    lines += "M" + px(each.x, foot) + "V" + px(base - 10.0);
    sheet.write("mark-label", each.x + 4.0, base, each.label);
  }
  sheet.body += path("mark", lines);
}

}  // namespace perrev::svg
