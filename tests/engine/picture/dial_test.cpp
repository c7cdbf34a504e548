// The writer of round pictures: pictures read back as XML and turned into vectors again.
#include "engine/picture/dial.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <locale>
#include <random>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "engine/quantity/angle.h"
#include "engine/quantity/quantity.h"
#include "tests/engine/picture/svg_reader.h"

using namespace perrev;
using perrev::test::all_of, perrev::test::Element, perrev::test::starts_of, perrev::test::texts_of;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinite = std::numeric_limits<double>::infinity();

Dial dial_of(std::vector<DialArrow> arrows) {
  Dial out;
  out.title = "Runout";
  out.unit = "mm";
  out.arrows = std::move(arrows);
  return out;
}

// As a wheel is matched to its tire: what is there, what the rim has of it, and the rest.
Dial matched() {
  Dial out = dial_of(
      {{.name = "wheel and tire", .amount = 1.1, .angle = 40 * kDegree, .half_width = 0.1},
       {.name = "rim", .amount = 0.4, .angle = 200 * kDegree, .note = "0.4 mm at 200\u00B0"},
       {.name = "tire", .amount = 1.48, .angle = 35 * kDegree, .from = 1},
       {.name = "limit", .amount = 1.0, .angle = 0, .reference = true}});
  out.title = "What rim and tire each have of the runout";
  return out;
}

// Pixels of one unit: the centre is the origin, and the widest circle is the rim.
double scale_of(const std::string& svg) {
  const auto labels = all_of(svg, "ring");
  REQUIRE(!labels.empty());
  const std::string rim = all_of(svg, "frame").at(0).at("d");
  double radius = 0.0;
  std::istringstream(rim.substr(rim.find('a') + 1)) >> radius;
  return radius / std::stod(labels.front().text);
}

// The first is the mark's, then one for each arrow that is drawn, then the legend's.
std::vector<test::Pixel> tips_of(const std::string& svg, std::size_t count) {
  auto out = starts_of(svg, "head");
  REQUIRE(out.size() >= count + 1);
  return {out.begin() + 1, out.begin() + 1 + static_cast<std::ptrdiff_t>(count)};
}

}  // namespace

TEST_CASE("tips stand where amounts and angles say, clockwise from the top") {
  std::mt19937 random(11);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  for (int i = 0; i < 300; ++i) {
    const double size = std::pow(10.0, between(-6.0, 6.0));
    std::vector<DialArrow> arrows;
    for (int k = 0; k < 4; ++k) {
      arrows.push_back(
          {.name = "it", .amount = between(0.02, 1.0) * size, .angle = between(-9.0, 9.0)});
    }
    arrows[1].from = 3, arrows[2].from = 1;  // also at one that comes later
    const std::string svg = svg_of(dial_of(arrows));
    const double scale = scale_of(svg);
    const auto tips = tips_of(svg, arrows.size());
    const std::size_t before[] = {0, 3, 1, 3};
    for (std::size_t k = 0; k < arrows.size(); ++k) {
      const test::Pixel from = arrows[k].from ? tips[before[k]] : test::Pixel{};
      const double along = arrows[k].amount * scale;
      REQUIRE(std::fabs(tips[k].x - from.x - along * std::sin(arrows[k].angle)) < 0.03);
      REQUIRE(std::fabs(tips[k].y - from.y + along * std::cos(arrows[k].angle)) < 0.03);
      REQUIRE(std::hypot(tips[k].x, tips[k].y) < 136.01);  // by hand: 360 / 2 - 44
    }
  }
}

TEST_CASE("quarters of a turn are where a clock has 12, 3, 6 and 9") {
  // Source: by hand, from what clockwise means.
  const std::string svg = svg_of(dial_of({{.name = "a", .amount = 10, .angle = 0},
                                          {.name = "b", .amount = 10, .angle = 90 * kDegree},
                                          {.name = "c", .amount = -10, .angle = 0},
                                          {.name = "d", .amount = 10, .angle = -90 * kDegree}}));
  const auto tips = tips_of(svg, 4);
  const double x[] = {0, 136, 0, -136}, y[] = {-136, 0, 136, 0};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(tips[i].x == doctest::Approx(x[i]));
    CHECK(tips[i].y == doctest::Approx(y[i]));
  }
  const auto clock = all_of(svg, "clock");
  CHECK(texts_of(svg, "clock") ==
        "[valve, 12 o\u2019clock, 0\u00B0][6 o\u2019clock, 180\u00B0][3][90\u00B0][9][270\u00B0]");
  CHECK((clock[0].number("y") < -136 && clock[1].number("y") > 136));
  CHECK((clock[2].number("x") > 136 && clock[4].number("x") < -136));
  CHECK(texts_of(svg, "degrees") ==
        "[30\u00B0][60\u00B0][120\u00B0][150\u00B0][210\u00B0][240\u00B0][300\u00B0][330\u00B0]");
  CHECK(starts_of(svg, "head").at(0).y == doctest::Approx(-136));  // the mark points at the rim
}

TEST_CASE("a circle of uncertainty has its size and lies within the rim") {
  for (const double half : {0.02, 0.5, 3.0}) {
    Dial dial = matched();
    dial.arrows[0].half_width = half;
    const std::string svg = svg_of(dial), d = all_of(svg, "spread").at(0).at("d");
    double radius = 0.0;
    std::istringstream(d.substr(d.find('a') + 1)) >> radius;
    CHECK(radius == doctest::Approx(half * scale_of(svg)).epsilon(0.002));
    const auto tip = starts_of(svg, "spread").at(0);
    CHECK(std::hypot(tip.x, tip.y) + radius < 136.02);
    CHECK((tip.x == tips_of(svg, 1)[0].x && tip.y == tips_of(svg, 1)[0].y));
  }
  for (const double none : {0.0, -1.0, kNan, kInfinite}) {
    Dial dial = matched();
    dial.arrows[0].half_width = none;
    CHECK(all_of(svg_of(dial), "spread").empty());
  }
}

TEST_CASE("dials are well-formed, named, and lean on nothing outside") {
  Dial hostile = matched();
  hostile.title = "a <b> & \"c\" 'd' ]]> &amp;";
  const char bytes[] = "nul \0 bell \a cut \xC3 & \x80 &\x80 \xFF \xEF\xBF\xBE";
  hostile.summary = std::string(bytes, sizeof bytes - 1);
  hostile.mark = hostile.unit = hostile.arrows[0].name = hostile.arrows[1].note = "<\x80>& \u6F22";
  for (const Dial& dial : {matched(), hostile, Dial{}}) {
    const std::string svg = svg_of(dial);
    const auto elements = all_of(svg);
    CHECK((elements[0].name == "svg" && elements[0].at("role") == "img"));
    CHECK((elements[1].name == "title" && elements[1].text == dial.title));
    CHECK((elements[2].name == "desc" && !elements[2].text.empty()));
    test::check_leans_on_nothing(svg);
  }
  const std::string svg = svg_of(hostile);
  CHECK(all_of(svg)[2].text == "nul ? bell ? cut ? & ? &? ? ?");
  CHECK(all_of(svg, "clock")[0].text == "<?>& \u6F22, 12 o\u2019clock, 0\u00B0");
  CHECK(texts_of(svg, "legend") == "[<?>& \u6F22][rim: <?>& \u6F22][tire][limit]");
}

TEST_CASE("who can't see the dial hears its arrows") {
  Dial dial = matched();
  dial.arrows.push_back({.name = "lost", .amount = kNan});
  CHECK(all_of(svg_of(dial))[2].text ==
        "Angles clockwise from the valve. wheel and tire: 1.1 mm at 40\u00B0. rim: 0.4 mm at "
        "200\u00B0. "
        "tire: 1.48 mm at 35\u00B0. limit: 1 mm at 0\u00B0. lost (no data).");
}

TEST_CASE("the same dial gives the same bytes in every locale") {
  Dial dial = matched();
  dial.arrows[0].amount = 12345.6;
  const std::string svg = svg_of(dial);
  const std::locale before = std::locale::global({std::locale::classic(), new test::DecimalComma});
  CHECK(svg_of(dial) == svg);
  std::locale::global(before);
}

TEST_CASE("an arrow that can't be drawn is left out with all that begin at it") {
  struct Row {
    double amount, angle;
    std::optional<std::size_t> from;
    std::size_t drawn;  // of three: this one, the one that begins at it, and one apart
  };
  const Row rows[] = {{1, 1, {}, 3},         {kNan, 1, {}, 1},      {1, kNan, {}, 1},
                      {kInfinite, 1, {}, 1}, {1, kInfinite, {}, 1}, {1e101, 1, {}, 1},
                      {1, 1, 2, 3},          {1, 1, 0, 1},          {1, 1, 1, 1},
                      {1, 1, 7, 1}};
  for (const Row& row : rows) {
    CAPTURE(row.amount);
    const std::string svg =
        svg_of(dial_of({{.name = "it", .amount = row.amount, .angle = row.angle, .from = row.from},
                        {.name = "after", .amount = 1, .angle = 2, .from = 0},
                        {.name = "apart", .amount = 2, .angle = 3}}));
    CHECK(all_of(svg, "line").size() == row.drawn + 3);  // and three in the legend
    CHECK(texts_of(svg, "legend") ==
          (row.drawn == 3 ? "[it][after][apart]" : "[it (no data)][after (no data)][apart]"));
    CHECK(texts_of(svg, "number") == (row.drawn == 3 ? "[1][2][3][1][2][3]" : "[3][1][2][3]"));
  }
}

TEST_CASE("amounts at the edge of what a number can be give numbers") {
  const double sizes[] = {0.0, 5e-324, 1e-150, 1e-99, 1.0, 1e15, 1e100, 1e300, kInfinite, kNan};
  for (int i = 0; i < 300; ++i) {
    const double a = sizes[i % 10], b = sizes[i / 10 % 10];
    Dial dial = dial_of({{.name = "a", .amount = a, .angle = b, .half_width = b},
                         {.name = "b", .amount = -b, .angle = a, .from = i % 3, .half_width = a},
                         {.name = "c", .amount = 1, .angle = -b}});
    dial.width = a;
    for (const Element& each : all_of(svg_of(dial))) {
      for (const char* key : {"d", "x", "y", "width", "height", "viewBox"}) {
        REQUIRE(each.at(key).find('n') == std::string::npos);  // "infinite", "not a number"
      }
    }
  }
}

TEST_CASE("numbers and labels of rings keep clear of one another and of the words at the rim") {
  struct Box {
    double left, right, top, bottom;
    bool meets(const Box& other) const {
      return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
  };
  std::vector<DialArrow> same(9, {.name = "same", .amount = 2, .angle = 1});
  std::vector<DialArrow> round, none(3, {.name = "nothing"});
  for (int i = 0; i < 24; ++i)
    round.push_back({.name = "round", .amount = 1, .angle = 15 * i * kDegree});
  for (const auto& arrows : {matched().arrows, same, round, none}) {
    for (const double width : {160.0, 360.0, 900.0}) {
      Dial dial = dial_of(arrows);
      dial.width = width;
      const std::string svg = svg_of(dial);
      std::vector<Box> boxes;
      for (const char* kind : {"clock", "degrees", "ring", "number"}) {
        auto words = all_of(svg, kind);
        // The legend's are the second half.
        if (std::string(kind) == "number") words.resize(words.size() / 2);
        for (const Element& each : words) {
          double letters = 0.0;  // 12 px high, letters 0.6 as wide on average
          for (const char c : each.text) letters += (c & 0xC0) != 0x80 ? 1.0 : 0.0;
          const double x = each.number("x"), y = each.number("y"), half = 3.6 * letters;
          boxes.push_back({x - half, x + half, y - 9.0, y + 3.0});
        }
      }
      REQUIRE(boxes.size() >= 6 + arrows.size());
      for (std::size_t i = 0; i < boxes.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) CHECK(!boxes[i].meets(boxes[j]));
      }
    }
  }
}

TEST_CASE("thirty arrows differ in colour and dash, six in dash alone") {
  const std::string svg = svg_of(dial_of(std::vector<DialArrow>(30, {.amount = 1})));
  std::set<std::string> looks, dashes;
  for (const Element& each : all_of(svg)) {
    if (each.name != "g") continue;
    looks.insert(each.at("class") + each.at("stroke-dasharray"));
    if (looks.size() <= 6) dashes.insert(each.at("stroke-dasharray"));
  }
  CHECK((looks.size() == 30 && dashes.size() == 6));
}

TEST_CASE("long words are set in lines that lie under the dial, and none is lost") {
  Dial dial = matched();
  dial.arrows[0].note =
      "1.1 mm at 40\u00B0, measured over three turns of the wheel after it was warm";
  const std::string svg = svg_of(dial);
  std::string title, legend;
  for (const Element& each : all_of(svg, "title")) {
    if (each.name == "text") title += (title.empty() ? "" : " ") + each.text;
  }
  for (const Element& each : all_of(svg, "legend")) legend += each.text + " ";
  CHECK(title == dial.title);
  CHECK(legend.find(dial.arrows[0].note) != std::string::npos);
  CHECK(all_of(svg)[0].number("width") < 380.0);
}

TEST_CASE("a dial of nothing says so") {
  CHECK(texts_of(svg_of(Dial{}), "empty") == "[no data]");
  CHECK(texts_of(svg_of(dial_of({{.name = "it", .amount = kNan}})), "empty") == "[no data]");
  Dial dial = dial_of({{.name = "limit", .amount = 1, .reference = true}});
  CHECK(texts_of(svg_of(dial), "empty") == "[no data]");
  CHECK(texts_of(svg_of(dial), "legend") == "[limit]");
  dial.arrows.push_back({.name = "nothing there"});  // of amount zero: a dot
  CHECK(texts_of(svg_of(dial), "empty").empty());
}
