#include "engine/picture/dial.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "engine/picture/plot_axis.h"
#include "engine/picture/svg_text.h"
#include "engine/quantity/angle.h"
#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr double kBeside = 44.0;  // px; of the clock's numbers left and right of the rim
constexpr double kHead = 11.0;    // px; length of an arrow's head
constexpr double kOut = 18.0;     // px; from the rim to the middle of what is written round it

// To the right and down, as pixels count; in units of the arrows or in pixels.
struct Spot {
  double x = 0.0, y = 0.0;
  double size() const { return std::hypot(x, y); }
};

Spot operator+(Spot a, Spot b) { return {a.x + b.x, a.y + b.y}; }
Spot operator-(Spot a, Spot b) { return {a.x - b.x, a.y - b.y}; }
Spot operator*(double times, Spot a) { return {times * a.x, times * a.y}; }
Spot towards(double angle) { return {std::sin(angle), -std::cos(angle)}; }
std::string px_of(Spot at) { return svg::px(at.x, at.y); }

struct Shaft {
  Spot from, tip;
  double half_width = 0.0;  // none where it is not above zero
};

bool drawable(const DialArrow& arrow) {
  return std::fabs(arrow.amount) <= svg::kLargest && std::fabs(arrow.angle) <= svg::kLargest;
}

// Where the arrow runs from and to, back along the arrows at whose tips it begins.
std::optional<Shaft> shaft_of(const std::vector<DialArrow>& arrows, std::size_t which) {
  Spot own, before;
  std::optional<std::size_t> at = which;
  for (std::size_t steps = 0; at; ++steps) {
    if (steps == arrows.size() || *at >= arrows.size() || !drawable(arrows[*at])) {
      return std::nullopt;
    }
    const Spot part = arrows[*at].amount * towards(arrows[*at].angle);
    (steps == 0 ? own : before) = (steps == 0 ? own : before) + part;
    at = arrows[*at].from;
  }
  const double half = arrows[which].half_width;
  const double reach = (before + own).size() + (half > 0.0 ? half : 0.0);
  const bool known = half > 0.0 && reach <= svg::kLargest;
  if (!(before.size() <= svg::kLargest && (before + own).size() <= svg::kLargest)) {
    return std::nullopt;
  }
  return Shaft{before, before + own, known ? half : 0.0};
}

// The arrows in pixels from the centre, and the rings.
struct Face {
  double radius = 0.0;
  std::vector<double> rings;
  std::vector<std::optional<Shaft>> shafts;

  explicit Face(const Dial& dial) {
    const double width = dial.width >= 160.0 ? std::min(dial.width, 4000.0) : 160.0;
    radius = width / 2.0 - kBeside;
    double farthest = 0.0;
    for (std::size_t i = 0; i < dial.arrows.size(); ++i) {
      shafts.push_back(shaft_of(dial.arrows, i));
      if (!shafts.back()) continue;
      const Shaft& shaft = *shafts.back();
      farthest = std::max(farthest, shaft.tip.size() + shaft.half_width);
    }
    const bool any = std::any_of(shafts.begin(), shafts.end(), [](auto& each) { return !!each; });
    if (any) rings = ticks_over(0.0, farthest < svg::kSmallest ? 1.0 : farthest);
    for (auto& shaft : shafts) {
      if (!shaft) continue;
      shaft = {pixels(shaft->from), pixels(shaft->tip), pixels({shaft->half_width, 0.0}).x};
    }
  }
  // Over the rim first: an amount near the largest number times pixels would leave it.
  Spot pixels(Spot at) const { return radius * Spot{at.x / rings.back(), at.y / rings.back()}; }
  double ring(std::size_t i) const { return radius * (rings[i] / rings.back()); }
};

// Words that others must not meet.
struct Taken {
  std::vector<svg::Box> boxes;

  bool free(const svg::Box& box) const {
    return std::none_of(boxes.begin(), boxes.end(), [&](auto& each) { return each.meets(box); });
  }
  void write(svg::Sheet& sheet, const std::string& kind, Spot at, const std::string& text) {
    sheet.write(kind, at.x, at.y, text, "middle");
    boxes.push_back(svg::box_of(at.x, at.y, text, "middle"));
  }
};

void draw_face(const Dial& dial, const Face& face, svg::Sheet& sheet, Taken& taken) {
  std::string grid = "M" + px_of({0.0, -face.radius}) + "v" + svg::px(2.0 * face.radius) + "M" +
                     px_of({-face.radius, 0.0}) + "h" + svg::px(2.0 * face.radius);
  for (std::size_t i = 1; i + 1 < face.rings.size(); ++i) {
    grid += "M0 0" + svg::circle(face.ring(i));
  }
  std::string rim = "M0 0" + svg::circle(face.radius);
  for (int degrees = 0; degrees < 360; degrees += 30) {
    const Spot at = towards(degrees * kDegree);
    rim += "M" + px_of(face.radius * at) + "L" + px_of((face.radius + 4.0) * at);
  }
  sheet.body += svg::path("grid", grid) + svg::path("frame", rim);
  sheet.body += svg::path("head", "M" + px_of({0.0, -face.radius}) + "l-6 -11h12z");
  const double out = face.radius + kOut;
  const std::string mark = dial.mark.empty() ? "" : dial.mark + ", ";
  taken.write(sheet, "clock", {0.0, -out}, mark + "12 o\u2019clock, 0\u00B0");
  taken.write(sheet, "clock", {0.0, out + 4.0}, "6 o\u2019clock, 180\u00B0");
  for (const double side : {1.0, -1.0}) {
    taken.write(sheet, "clock", {side * (out + 5.0), -2.0}, side > 0.0 ? "3" : "9");
    taken.write(sheet, "clock", {side * (out + 5.0), 12.0}, side > 0.0 ? "90\u00B0" : "270\u00B0");
  }
}

double distance(Spot at, const Shaft& shaft) {
  const Spot along = shaft.tip - shaft.from, to = at - shaft.from;
  const double square = along.x * along.x + along.y * along.y;
  const double part = square > 0.0 ? (to.x * along.x + to.y * along.y) / square : 0.0;
  return (to - std::clamp(part, 0.0, 1.0) * along).size();
}

// Where labels of rings are farthest from all arrows, out of directions in which labels stand
// rather one above the other than side by side.
double ring_direction(const Face& face) {
  double best = 0.0, most = -1.0;
  for (const double degrees : {15.0, 345.0, 165.0, 195.0, 45.0, 315.0, 135.0, 225.0}) {
    double nearest = face.radius;
    for (std::size_t i = 1; i < face.rings.size(); ++i) {
      for (const auto& shaft : face.shafts) {
        if (!shaft) continue;
        nearest = std::min(nearest, distance(face.ring(i) * towards(degrees * kDegree), *shaft));
      }
    }
    nearest = std::round(nearest);
    if (nearest > most) most = nearest, best = degrees * kDegree;
  }
  return best;
}

// From the rim inwards; where they would touch, rings go without.
void draw_ring_labels(const Dial& dial, const Face& face, svg::Sheet& sheet, Taken& taken) {
  if (face.rings.empty()) return;
  const Spot out = towards(ring_direction(face));
  for (std::size_t i = face.rings.size() - 1; i > 0; --i) {
    const bool rim = i + 1 == face.rings.size() && !dial.unit.empty();
    const std::string text = show_number(face.rings[i]) + (rim ? " " + dial.unit : "");
    const Spot at = face.ring(i) * out + Spot{0.0, 4.0};
    if (taken.free(svg::box_of(at.x, at.y, text, "middle"))) {
      taken.write(sheet, "ring", at, text);
    }
  }
}

void draw_degrees(const Face& face, svg::Sheet& sheet, Taken& taken) {
  for (int degrees = 30; degrees < 360; degrees += 30) {
    const Spot at = (face.radius + kOut) * towards(degrees * kDegree) + Spot{0.0, 4.0};
    const std::string text = std::to_string(degrees) + "\u00B0";
    if (degrees % 90 != 0 && taken.free(svg::box_of(at.x, at.y, text, "middle"))) {
      taken.write(sheet, "degrees", at, text);
    }
  }
}

// The head begins at the tip; one shorter than a pixel is a dot there.
std::string arrow_path(const Shaft& shaft) {
  const Spot along = shaft.tip - shaft.from;
  const double length = along.size();
  if (length < 1.0) return svg::path("head", "M" + px_of(shaft.tip) + svg::circle(3.0));
  const double head = std::min(kHead, length);
  const Spot back = (-head / length) * along,
             side = (0.36 * head / length) * Spot{-along.y, along.x};
  return svg::path("line", "M" + px_of(shaft.from) + "L" + px_of(shaft.tip + 0.6 * back)) +
         svg::path("head", "M" + px_of(shaft.tip) + "l" + px_of(back + side) + "l" +
                               px_of(-2.0 * side) + "z");
}

// Ahead of the tip, else as near round it as there is room.
void draw_number(const Shaft& shaft, const std::string& text, svg::Sheet& sheet, Taken& taken) {
  const Spot along = shaft.tip - shaft.from;
  const double ahead = along.size() < 1.0 ? 0.0 : std::atan2(along.x, -along.y);
  for (double away = 11.0;; away += 6.0) {
    for (const double turn : {0.0, 45.0, -45.0, 90.0, -90.0, 135.0, -135.0, 180.0}) {
      const Spot at = shaft.tip + away * towards(ahead + turn * kDegree) + Spot{0.0, 4.0};
      if (!taken.free(svg::box_of(at.x, at.y, text, "middle"))) continue;
      taken.write(sheet, "number", at, text);
      return;
    }
  }
}

std::string legend_of(const DialArrow& arrow, bool there) {
  return arrow.name + (arrow.note.empty() ? "" : ": " + arrow.note) + (there ? "" : " (no data)");
}

void draw_arrows(const Dial& dial, const Face& face, svg::Sheet& sheet, Taken& taken) {
  std::string spreads, arrows;
  std::size_t own = 0, number = 0;
  bool empty = true;
  const double left = sheet.box.left, right = sheet.box.right;
  svg::Sheet below;
  below.box = sheet.box;
  double y = sheet.box.bottom + svg::kRow;
  std::vector<std::pair<Shaft, std::string>> numbers;
  for (std::size_t i = 0; i < dial.arrows.size(); ++i) {
    const DialArrow& arrow = dial.arrows[i];
    const auto& shaft = face.shafts[i];
    const std::size_t look = arrow.reference ? own : own++;
    if (shaft) {
      empty = empty && arrow.reference;
      if (shaft->half_width > 0.0) {
        const std::string round = "M" + px_of(shaft->tip) + svg::circle(shaft->half_width);
        spreads += svg::dressed(look, arrow.reference, svg::path("spread", round));
      }
      arrows += svg::dressed(look, arrow.reference, arrow_path(*shaft));
    }
    if (arrow.name.empty()) continue;
    const std::string label = std::to_string(++number);
    if (shaft) numbers.emplace_back(*shaft, label);
    const double room = svg::width_of(label) + svg::kGap,
                 words = left + room + svg::kSample + svg::kGap;
    below.body +=
        svg::dressed(look, arrow.reference,
                     arrow_path({{left + room, y - 4.0}, {left + room + svg::kSample, y - 4.0}}));
    below.write("number", left, y, label);
    for (const std::string& line :
         svg::lines_of(legend_of(arrow, shaft.has_value()), right - words)) {
      below.write("legend", words, y, line);
      y += svg::kRow;
    }
  }
  sheet.body += spreads + arrows;
  for (const auto& [shaft, label] : numbers) draw_number(shaft, label, sheet, taken);
  if (empty) sheet.write("empty", 0.0, 4.0, "no data", "middle");
  sheet.body += below.body;
  sheet.reach(below.box);
}

std::string dial_summary(const Dial& dial) {
  if (!dial.summary.empty()) return dial.summary;
  std::string out = "Angles clockwise from the " + (dial.mark.empty() ? "mark" : dial.mark) + ".";
  for (const DialArrow& arrow : dial.arrows) {
    if (arrow.name.empty()) continue;
    out += " " + legend_of(arrow, drawable(arrow));
    if (arrow.note.empty() && drawable(arrow)) {
      const double turn = std::remainder(arrow.angle, 360.0 * kDegree) / kDegree;
      out += ": " + show_number(arrow.amount);
      if (!dial.unit.empty()) out += " " + dial.unit;
      out += " at " + show_number(std::round(turn < 0.0 ? turn + 360.0 : turn)) + "\u00B0";
    }
    out += ".";
  }
  return out;
}

}  // namespace

std::string svg_of(const Dial& dial) {
  const Face face(dial);
  svg::Sheet sheet;
  Taken taken;
  const double half = face.radius + kBeside - svg::kGap;
  sheet.reach({-half, -face.radius, half, face.radius});
  draw_face(dial, face, sheet, taken);
  draw_ring_labels(dial, face, sheet, taken);
  draw_degrees(face, sheet, taken);
  draw_arrows(dial, face, sheet, taken);
  const double left = sheet.box.left, step = svg::kRow + 2.0;
  const auto title = svg::lines_of(dial.title, sheet.box.right - left, svg::kTitleSize);
  double y = sheet.box.top - svg::kGap - step * static_cast<double>(title.size());
  for (const std::string& line : title) sheet.write("title", left, y += step, line);
  return svg::document(dial.title, dial_summary(dial), sheet);
}

}  // namespace perrev
