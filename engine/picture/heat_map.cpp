#include "engine/picture/heat_map.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <tuple>

#include "engine/picture/heat_cells.h"
#include "engine/picture/plot_frame.h"
#include "engine/picture/svg_text.h"
#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

using svg::Frame, svg::HeatRange, svg::kGap, svg::kLargest, svg::kRow, svg::kSample, svg::Scale;
using svg::path, svg::px, svg::Sheet, svg::width_of;

constexpr double kScaleWidth = 240.0, kScaleHeight = 12.0;  // px, at most

bool drawable(const HeatMap& map) {
  const auto fits = [](double first, double step) {
    return std::fabs(first) <= kLargest && step > 0.0 && step <= kLargest;
  };
  return fits(map.first_x, map.step_x) && fits(map.first_y, map.step_y);
}

// That of the cells where none is given.
PlotAxis ranged(PlotAxis axis, double first, double step, std::size_t count) {
  if (!axis.range) axis.range = PlotRange{first, first + step * static_cast<double>(count)};
  return axis;
}

Frame frame_of(const HeatMap& map) {
  Frame out(map.width, map.height);
  const PlotAxis x = ranged(map.x, map.first_x, map.step_x, svg::columns_of(map));
  const PlotAxis y = ranged(map.y, map.first_y, map.step_y, map.rows.size());
  out.x.cover(x.range, {});
  out.y.cover(y.range, {});
  return out;
}

// Of the values, as wide as it is drawn.
Scale scale_of(const HeatMap& map, const Frame& frame, const HeatRange& range) {
  Scale out;
  out.to = std::min(kScaleWidth, frame.x.to);
  std::optional<PlotRange> given = map.value.range;
  if (!given) given = PlotRange{range.low, range.highest.value};
  out.cover(given, {range.low, range.highest.value});
  return out;
}

// The part of a line in the frame, in pixels, and where it leaves.
struct Across {
  double x1, y1, x2, y2;  // from below upwards
  bool to_the_right;
};

std::optional<Across> across(const HeatLine& line, const Frame& frame) {
  if (!(line.slope >= 0.0 && line.slope <= kLargest && std::fabs(line.at) <= kLargest)) {
    return std::nullopt;
  }
  double from = frame.y.low, to = frame.y.high;
  bool right = false;
  if (line.slope > 0.0) {
    from = std::max(from, (frame.x.low - line.at) / line.slope);
    right = (frame.x.high - line.at) / line.slope < to;
    if (right) to = (frame.x.high - line.at) / line.slope;
  }
  const double x1 = line.at + line.slope * from, x2 = line.at + line.slope * to;
  if (!(from < to) || !frame.x.holds(x1) || !frame.x.holds(x2)) return std::nullopt;
  return Across{frame.x.at(x1), frame.y.at(from), frame.x.at(x2), frame.y.at(to), right};
}

struct RightLabel {
  double y;  // px, where the line leaves
  std::string label;
};

// From the top down, each as near to its line as the one above lets it, then up again from the foot
// of the frame.
void draw_right_labels(std::vector<RightLabel> labels, const Frame& frame, Sheet& sheet) {
  const double height = frame.y.from, width = frame.x.to, first = svg::kSize;
  std::sort(labels.begin(), labels.end(), [](const RightLabel& a, const RightLabel& b) {
    return std::tie(a.y, a.label) < std::tie(b.y, b.label);
  });
  const auto most = static_cast<std::size_t>((height - first) / kRow) + 1;
  if (labels.size() > most) labels.resize(most);
  std::vector<double> bases;
  for (const RightLabel& each : labels)
    bases.push_back(std::max(each.y + 4.0, bases.empty() ? first : bases.back() + kRow));
  for (std::size_t i = bases.size(); i-- > 0;)
    bases[i] = std::min(bases[i], i + 1 == bases.size() ? height : bases[i + 1] - kRow);
  std::string lines;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    lines += "M" + px(width, labels[i].y) + "L" + px(width + 10.0, bases[i] - 4.0);
    sheet.write("mark-label", width + 13.0, bases[i], labels[i].label);
  }
  sheet.body += path("mark", lines);
}

void draw_lines(const HeatMap& map, const Frame& frame, Sheet& sheet) {
  std::string lines;
  std::vector<svg::TopLabel> above;
  std::vector<RightLabel> right;
  for (const HeatLine& line : map.lines) {
    const std::optional<Across> at = across(line, frame);
    if (!at) continue;
    lines += "M" + px(at->x1, at->y1) + "L" + px(at->x2, at->y2);
    if (at->to_the_right) {
      right.push_back({at->y2, line.label});
    } else {
      above.push_back({at->x2, line.label});
    }
  }
  // Dashes on paper: seen on every colour, and the ridge between them.
  sheet.body += path("halo", lines) + path("across", lines);
  svg::draw_top_labels(std::move(above), 0.0, sheet);
  draw_right_labels(std::move(right), frame, sheet);
}

// What the colours are, under the axis.
void draw_scale(const HeatMap& map, const Scale& value, bool any_unknown, Sheet& sheet) {
  const double width = value.to;
  double y = sheet.box.bottom + kRow;
  sheet.write("legend", 0.0, y, svg::named(map.value));
  y += kGap;
  std::string boxes;
  const double box = width / static_cast<double>(svg::kHeatSteps);
  for (std::size_t step = 0; step < svg::kHeatSteps; ++step)
    boxes += svg::heat_path(
        step, "M" + px(box * static_cast<double>(step), y + kScaleHeight / 2.0) + "h" + px(box));
  sheet.body += svg::heat_group(px(kScaleHeight), boxes);
  sheet.body += path("frame", "M0 " + px(y) + "h" + px(width) + "v" + px(kScaleHeight) + "H0z");
  for (const double tick : svg::numbered_ticks(value))
    sheet.write("value-tick", value.at(tick), y + kScaleHeight + kRow - 4.0, show_number(tick),
                "middle");
  if (!any_unknown) return;
  y = sheet.box.bottom + kRow;
  const std::string hatched = path("unknown", "M0 " + px(y - 4.0) + "h" + px(kSample));
  sheet.body += svg::heat_group(px(kScaleHeight), hatched);
  sheet.write("legend", kSample + kGap, y, map.unknown);
}

std::string summary_of(const HeatMap& map, const HeatRange& range) {
  if (!map.summary.empty()) return map.summary;
  std::string out =
      svg::named(map.value) + " against " + svg::named(map.x) + " and " + svg::named(map.y) + ".";
  if (range.any)
    out += " Highest: " + show_number(range.highest.value) + " at " + show_number(range.highest.x) +
           " and " + show_number(range.highest.y) + ".";
  for (const HeatLine& line : map.lines) out += " " + line.label + ".";
  return out;
}

}  // namespace

std::string svg_of(const HeatMap& map) {
  const HeatRange range = drawable(map) ? svg::range_of(map) : HeatRange{};
  Sheet sheet;
  Frame frame(map.width, map.height);
  if (range.any) frame = frame_of(map);
  sheet.reach({0.0, 0.0, frame.x.to, frame.y.from});
  if (frame.x.ticks.empty() || frame.y.ticks.empty()) {
    svg::draw_axes(map.x, map.y, frame, sheet);
    sheet.write("empty", frame.x.to / 2.0, frame.y.from / 2.0, "no data", "middle");
  } else {
    const Scale value = scale_of(map, frame, range);
    const svg::DrawnCells cells = svg::cells_of(map, frame, value);
    sheet.body += cells.body;
    svg::draw_axes(map.x, map.y, frame, sheet);
    draw_lines(map, frame, sheet);
    draw_scale(map, value, cells.any_unknown, sheet);
  }
  sheet.write("title", sheet.box.left, sheet.box.top - kGap, map.title);
  return svg::document(map.title, summary_of(map, range), sheet);
}

}  // namespace perrev
