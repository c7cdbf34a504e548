#include "engine/picture/plot.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <utility>

#include "engine/picture/plot_frame.h"
#include "engine/picture/svg_text.h"
#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

using svg::Frame, svg::kGap, svg::kLargest, svg::kRow, svg::kSample, svg::kSize;
using svg::named, svg::path, svg::px, svg::Sheet, svg::width_of;

// Shapes are drawn from the point itself: each "M x y" of a path is a point.
constexpr std::array kShapes = {"m-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0z",
                                "m-3.5 -3.5h7v7h-7z",
                                "m0 -4.5l4.5 8h-9z",
                                "m0 -5l5 5l-5 5l-5 -5z",
                                "m-3.5 -3.5l7 7m0 -7l-7 7",
                                "m0 4.5l4.5 -8h-9z"};

bool takes(const Frame& frame, const PlotPoint& point) {
  return frame.x.takes(point.x) && frame.y.takes(point.y);
}

Frame frame_of(const Plot& plot) {
  Frame out(plot.width, plot.height);
  out.y.log = plot.log_y;
  std::vector<double> xs, ys;
  for (const PlotSeries& series : plot.series) {
    const bool bars = series.kind == PlotKind::bars;
    const double half = bars ? series.bar_width / 2.0 : 0.0;
    for (const PlotPoint& point : series.points) {
      if (!takes(out, point)) continue;
      xs.insert(xs.end(), {point.x - half, point.x + half});
      ys.insert(ys.end(), {point.y, bars ? 0.0 : point.y});
      if (series.kind == PlotKind::error_bars) ys.insert(ys.end(), {point.low, point.high});
    }
  }
  for (const PlotMark& mark : plot.marks) xs.push_back(mark.x);
  out.x.cover(plot.x.range, xs);
  out.y.cover(plot.y.range, ys);
  return out;
}

void draw_marks(const Plot& plot, const Frame& frame, Sheet& sheet) {
  std::vector<svg::TopLabel> labels;
  for (const PlotMark& mark : plot.marks)
    if (frame.x.holds(mark.x)) labels.push_back({frame.x.at(mark.x), mark.label});
  svg::draw_top_labels(std::move(labels), frame.y.from, sheet);
}

struct Pixel {
  double x = 0.0, y = 0.0;
};

// A run of points as a line. Of those that one pixel's width holds the first, the lowest, the
// highest and the last are drawn, in their order: the rest would lie on the line between them.
std::string joined(const std::vector<Pixel>& run) {
  std::string out;
  const auto add = [&](const Pixel& at) {
    // A move alone draws nothing; with "h0" a lone point is a dot.
    out += out.empty() ? "M" + px(at.x, at.y) + "h0" : "L" + px(at.x, at.y);
  };
  for (std::size_t first = 0, next = 0; first < run.size(); first = next) {
    std::size_t low = first, high = first;
    for (next = first; next < run.size() && std::floor(run[next].x) == std::floor(run[first].x);
         ++next) {
      if (run[next].y < run[low].y) low = next;
      if (run[next].y > run[high].y) high = next;
    }
    const std::size_t kept[] = {first, std::min(low, high), std::max(low, high), next - 1};
    for (std::size_t i = 0; i < std::size(kept); ++i)
      if (i == 0 || kept[i] != kept[i - 1]) add(run[kept[i]]);
  }
  return out;
}

std::string drawn(const PlotSeries& series, const Frame& frame, const std::string& shape) {
  std::string lines, bars, whiskers, dots;
  std::vector<Pixel> run;
  for (const PlotPoint& point : series.points) {
    if (!takes(frame, point)) {
      lines += joined(std::exchange(run, {}));
      continue;
    }
    const double x = frame.x.at(point.x), y = frame.y.at(point.y);
    if (series.kind == PlotKind::line) {
      run.push_back({x, y});
    } else if (series.kind == PlotKind::bars) {
      const double left = frame.x.inside(point.x - series.bar_width / 2.0);
      const double right = frame.x.inside(point.x + series.bar_width / 2.0);
      const std::string foot = px(frame.y.inside(0.0)), head = px(frame.y.inside(point.y));
      if (!(left < right)) continue;  // outside, or no width
      bars += "M" + px(left) + " " + foot + "V" + head + "H" + px(right) + "V" + foot + "z";
    } else if (frame.x.holds(point.x)) {
      if (frame.y.holds(point.y)) dots += "M" + px(x, y) + shape;
      for (const double end : {point.low, point.high}) {
        if (series.kind == PlotKind::points || !(std::fabs(end) <= kLargest)) continue;
        whiskers += "M" + px(x, frame.y.inside(point.y)) + "V" + px(frame.y.inside(end));
        if (frame.y.holds(end)) whiskers += "m-4 0h8";
      }
    }
  }
  lines += joined(run);
  if (!lines.empty()) {
    // An inner picture cuts without an id; 2 px more keep a line along the edge whole.
    const double width = frame.x.to + 4.0, height = frame.y.from + 4.0;
    lines = "<svg x=\"-2\" y=\"-2\" width=\"" + px(width) + "\" height=\"" + px(height) +
            "\" viewBox=\"-2 -2 " + px(width, height) + "\">\n" + path("line", lines) + "</svg>\n";
  }
  return lines + path("bars", bars) + path("whiskers", whiskers) + path("dots", dots);
}

// To the right of their points, clear of lines that rise from there; else where there is room.
void draw_notes(const PlotSeries& series, const Frame& frame, Sheet& sheet) {
  for (const PlotPoint& point : series.points) {
    if (point.note.empty() || !frame.x.holds(point.x) || !frame.y.holds(point.y)) continue;
    const double x = frame.x.at(point.x), y = frame.y.at(point.y);
    const bool right = x + kGap + width_of(point.note) < frame.x.to + kGap;
    const double below = y + kSize < frame.y.from ? kSize : -kGap / 2.0;
    sheet.write("note", right ? x + kGap : x - kGap, y + below, point.note,
                right ? "start" : "end");
  }
}

std::string sample(PlotKind kind, double x, double y, const std::string& shape) {
  const double middle = x + kSample / 2.0;
  if (kind == PlotKind::line) return path("line", "M" + px(x, y) + "h" + px(kSample));
  if (kind == PlotKind::bars) return path("bars", "M" + px(middle - 6.0, y + 6.0) + "v-11h12v11z");
  const std::string bar = kind == PlotKind::points ? "" : "M" + px(middle, y - 7.0) + "v14";
  return path("whiskers", bar) + path("dots", "M" + px(middle, y) + shape);
}

// The series in the frame and, under the axis, the legend.
void draw_series(const Plot& plot, const Frame& frame, Sheet& sheet) {
  std::size_t own = 0;
  bool empty = true;
  double x = 0.0, y = sheet.box.bottom + kRow;
  for (const PlotSeries& series : plot.series) {
    const std::string shape = kShapes[own % kShapes.size()], body = drawn(series, frame, shape);
    const std::size_t look = series.reference ? own : own++;
    empty = empty && (series.reference || body.empty());
    sheet.body += svg::dressed(look, series.reference, body);
    draw_notes(series, frame, sheet);
    if (series.name.empty()) continue;
    const std::string name = series.name + (body.empty() ? " (no data)" : "");
    const double width = kSample + kGap + width_of(name);
    if (x > 0.0 && x + width > sheet.box.right) x = 0.0, y += kRow;
    const std::string line = sample(series.kind, x, y - 4.0, shape);
    sheet.body += svg::dressed(look, series.reference, line);
    sheet.write("legend", x + kSample + kGap, y, name);
    x += width + 2.0 * kGap;
  }
  if (empty) sheet.write("empty", frame.x.to / 2.0, frame.y.from / 2.0, "no data", "middle");
}

std::string summary_of(const Plot& plot) {
  if (!plot.summary.empty()) return plot.summary;
  std::string out = named(plot.y) + " against " + named(plot.x) + ".";
  for (const PlotSeries& series : plot.series) out += " " + series.name + ".";
  for (const PlotMark& mark : plot.marks)
    out += " " + mark.label + ": " + show_number(mark.x) + ".";
  return out;
}

}  // namespace

std::string svg_of(const Plot& plot) {
  const Frame frame = frame_of(plot);
  Sheet sheet;
  sheet.reach({0.0, 0.0, frame.x.to, frame.y.from});
  svg::draw_axes(plot.x, plot.y, frame, sheet);
  draw_marks(plot, frame, sheet);
  draw_series(plot, frame, sheet);
  sheet.write("title", sheet.box.left, sheet.box.top - kGap, plot.title);
  return svg::document(plot.title, summary_of(plot), sheet);
}

}  // namespace perrev
