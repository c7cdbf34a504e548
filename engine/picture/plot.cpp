#include "engine/picture/plot.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <utility>

#include "engine/picture/svg_text.h"
#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

using svg::kGap, svg::kLargest, svg::kRow, svg::kSample, svg::kSize, svg::kSmallest;
using svg::path, svg::px, svg::Sheet, svg::width_of;

constexpr double kNarrowest = 1e-4;  // of a range's ends: its ticks still differ in six digits
constexpr double kSlack = 1e-9;      // of a step: rounding must not cost a tick
constexpr double kFar = 1e5;         // px; what browsers still draw right
// Shapes are drawn from the point itself: each "M x y" of a path is a point.
constexpr std::array kShapes = {"m-3.5 0a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0z",
                                "m-3.5 -3.5h7v7h-7z",
                                "m0 -4.5l4.5 8h-9z",
                                "m0 -5l5 5l-5 5l-5 -5z",
                                "m-3.5 -3.5l7 7m0 -7l-7 7",
                                "m0 4.5l4.5 -8h-9z"};

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

// One axis: from the caller's values to pixels.
struct Scale {
  bool log = false;
  double from = 0.0, to = 0.0;  // px of its ends
  double low = 1.0, high = 10.0;
  std::vector<double> ticks = {};

  bool takes(double v) const { return std::fabs(v) <= kLargest && (!log || v >= kSmallest); }
  double at(double v) const {
    if (log && v <= 0.0) return from;
    const double part =
        log ? std::log10(v / low) / std::log10(high / low) : (v - low) / (high - low);
    return std::clamp(from + part * (to - from), -kFar, kFar);
  }
  double inside(double v) const {
    return std::clamp(at(v), std::min(from, to), std::max(from, to));
  }
  bool holds(double v) const { return takes(v) && std::fabs(at(v) - inside(v)) < 0.01; }
  // Nothing to go by leaves it without ticks.
  void cover(const std::optional<PlotRange>& range, const std::vector<double>& values) {
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
};

// The space between the axes; its corner top left is the origin of all pixels.
struct Frame {
  Scale x, y;

  explicit Frame(const Plot& plot) {
    const auto size = [](double of) { return of >= 100.0 ? std::min(of, 4000.0) : 100.0; };
    x.to = size(plot.width);
    y.from = size(plot.height);
    y.log = plot.log_y;
    std::vector<double> xs, ys;
    for (const PlotSeries& series : plot.series) {
      const bool bars = series.kind == PlotKind::bars;
      const double half = bars ? series.bar_width / 2.0 : 0.0;
      for (const PlotPoint& point : series.points) {
        if (!takes(point)) continue;
        xs.insert(xs.end(), {point.x - half, point.x + half});
        ys.insert(ys.end(), {point.y, bars ? 0.0 : point.y});
        if (series.kind == PlotKind::error_bars) ys.insert(ys.end(), {point.low, point.high});
      }
    }
    for (const PlotMark& mark : plot.marks) xs.push_back(mark.x);
    x.cover(plot.x.range, xs);
    y.cover(plot.y.range, ys);
  }
  bool takes(const PlotPoint& point) const { return x.takes(point.x) && y.takes(point.y); }
};

std::string named(const PlotAxis& axis) {
  return axis.unit.empty() ? axis.label : axis.label + " (" + axis.unit + ")";
}

void draw_axes(const Plot& plot, const Frame& frame, Sheet& sheet) {
  const double width = sheet.box.right, height = sheet.box.bottom;
  std::string grid;
  double widest = 0.0;
  for (const double tick : frame.y.ticks) {
    grid += "M" + px(0.0, frame.y.at(tick)) + "h" + px(width);
    sheet.write("y-tick", -kGap, frame.y.at(tick) + 4.0, show_number(tick), "end");
  }
  for (const double tick : frame.x.ticks) {
    grid += "M" + px(frame.x.at(tick), 0.0) + "v" + px(height);
    widest = std::max(widest, width_of(show_number(tick)));
  }
  // Where they would touch, every other tick goes without its number.
  const std::size_t count = frame.x.ticks.size();
  const bool crowded = (widest + kGap) * static_cast<double>(count) > width + widest;
  for (std::size_t i = 0; i < count; i += crowded ? 2 : 1) {
    const double tick = frame.x.ticks[i];
    sheet.write("x-tick", frame.x.at(tick), height + kRow, show_number(tick), "middle");
  }
  sheet.body += path("grid", grid) + path("frame", "M0 0H" + px(width) + "V" + px(height) + "H0z");
  sheet.write("axis", width / 2.0, height + 2.2 * kRow, named(plot.x), "middle");
  sheet.write_upright(sheet.box.left - kGap, height / 2.0, named(plot.y));
}

// From the right to the left, each label to the right of its line and above all whose lines it
// would meet: those lines end under it, and lines further left don't come near it.
void draw_marks(const Plot& plot, const Frame& frame, Sheet& sheet) {
  std::vector<PlotMark> marks = plot.marks;
  std::erase_if(marks, [&](const PlotMark& mark) { return !frame.x.holds(mark.x); });
  std::sort(marks.begin(), marks.end(), [](const PlotMark& a, const PlotMark& b) {
    return a.x != b.x ? a.x > b.x : a.label > b.label;
  });
  std::string lines;
  std::vector<double> rows;
  for (const PlotMark& mark : marks) {
    const double x = frame.x.at(mark.x), end = x + 4.0 + width_of(mark.label) + kGap;
    double row = 0.0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      if (frame.x.at(marks[i].x) < end) row = std::max(row, rows[i] + 1.0);
    }
    rows.push_back(row);
    const double base = -6.0 - row * kRow;
    lines += "M" + px(x, frame.y.from) + "V" + px(base - 10.0);
    sheet.write("mark-label", x + 4.0, base, mark.label);
  }
  sheet.body += path("mark", lines);
}

std::string drawn(const PlotSeries& series, const Frame& frame, const std::string& shape) {
  std::string lines, bars, whiskers, dots;
  bool joined = false;
  for (const PlotPoint& point : series.points) {
    const bool was_joined = std::exchange(joined, frame.takes(point));
    if (!joined) continue;
    const double x = frame.x.at(point.x), y = frame.y.at(point.y);
    if (series.kind == PlotKind::line) {
      // A move alone draws nothing; with "h0" a lone point is a dot.
      lines += was_joined ? "L" + px(x, y) : "M" + px(x, y) + "h0";
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

std::vector<double> ticks_over(double low, double high) { return nice_ticks(low, high, true); }
std::vector<double> ticks_within(double low, double high) { return nice_ticks(low, high, false); }

std::string svg_of(const Plot& plot) {
  const Frame frame(plot);
  Sheet sheet;
  sheet.reach({0.0, 0.0, frame.x.to, frame.y.from});
  draw_axes(plot, frame, sheet);
  draw_marks(plot, frame, sheet);
  draw_series(plot, frame, sheet);
  sheet.write("title", sheet.box.left, sheet.box.top - kGap, plot.title);
  return svg::document(plot.title, summary_of(plot), sheet);
}

}  // namespace perrev
