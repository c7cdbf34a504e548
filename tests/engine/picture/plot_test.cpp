// The plot writer: the law of its ticks, and pictures read back as XML and turned into data again.
#include "engine/picture/plot.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <locale>
#include <map>
#include <random>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "engine/quantity/quantity.h"
#include "tests/engine/picture/svg_reader.h"

using namespace perrev;
using perrev::test::all_of, perrev::test::Element, perrev::test::starts_of, perrev::test::texts_of;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinite = std::numeric_limits<double>::infinity();

// From pixels back to values, by the first and the last tick that has its number.
double value_at(const std::string& svg, const std::string& axis, double pixel, bool log = false) {
  const auto ticks = all_of(svg, axis + "-tick");
  REQUIRE(ticks.size() >= 2);
  const double below = axis == "y" ? 4.0 : 0.0;  // numbers stand that much under their tick
  const double from = ticks.front().number(axis) - below, to = ticks.back().number(axis) - below;
  const double low = std::stod(ticks.front().text), high = std::stod(ticks.back().text);
  const double part = (pixel - from) / (to - from);
  return log ? low * std::pow(high / low, part) : low + part * (high - low);
}

Plot plot_of(std::vector<PlotPoint> points, PlotKind kind = PlotKind::points) {
  Plot out;
  out.title = "Amplitude over speed";
  out.x = {"Speed", "mph"};
  out.y = {"Amplitude", "mm/s"};
  out.series = {{"reading", kind, std::move(points)}};
  return out;
}

Plot reliability() {
  Plot out = plot_of(
      {{0.1, 0.12, 0.08, 0.17, "812"}, {0.5, 0.44, 0.3, 0.58, "58"}, {0.9, 0.93, 0.85, 1.0, "97"}},
      PlotKind::error_bars);
  out.x.range = out.y.range = PlotRange{0.0, 1.0};
  out.series.push_back({"as predicted", PlotKind::line, {{0.0, 0.0}, {1.0, 1.0}}, true});
  return out;
}

std::string numbers(const std::vector<double>& values) {
  std::string out;
  for (const double value : values) out += (out.empty() ? "" : " ") + show_number(value);
  return out;
}

}  // namespace

TEST_CASE("the reader of these tests takes well-formed pictures only") {
  CHECK(test::read_svg("<a b=\"1\"><c/>x &amp; y</a>\n"));
  for (const char* bad : {"<a></b>\n", "<a>\n", "<a/><a/>\n", "<a b=1/>\n", "<a>&</a>\n", "x\n",
                          "<a b=\"1\" b=\"2\"/>\n", "<a b=\"<\"/>\n", "<a>\a</a>\n", "<a/>x\n"}) {
    CAPTURE(bad);
    CHECK(!test::read_svg(bad));
  }
}

TEST_CASE("ticks of common ranges") {
  struct Row {
    double low, high;
    const char *over, *within;
  };
  // Source: by hand, from the law below.
  const Row rows[] = {
      {0, 1, "0 0.2 0.4 0.6 0.8 1", "0 0.2 0.4 0.6 0.8 1"},
      {0, 120, "0 20 40 60 80 100 120", "0 20 40 60 80 100 120"},
      {20, 85, "20 30 40 50 60 70 80 90", "20 30 40 50 60 70 80"},
      {-3, 7, "-4 -2 0 2 4 6 8", "-2 0 2 4 6"},
      {0, 0.07, "0 0.01 0.02 0.03 0.04 0.05 0.06 0.07",  // 0.07 * 100 is more than 7
       "0 0.01 0.02 0.03 0.04 0.05 0.06 0.07"},
      {0.1, 0.3, "0.1 0.15 0.2 0.25 0.3", "0.1 0.15 0.2 0.25 0.3"},
      {0.00012, 0.00047, "0.0001 0.0002 0.0003 0.0004 0.0005",
       "0.00015 0.0002 0.00025 0.0003 0.00035 0.0004 0.00045"},
      {998, 1003, "998 999 1000 1001 1002 1003", "998 999 1000 1001 1002 1003"},
      {1, 1, "", ""},
      {1e9, 1e9 + 1, "", ""},
      {kNan, 1, "", ""},
      {0, kInfinite, "", ""},
  };
  for (const Row& row : rows) {
    CAPTURE(row.over);
    CHECK(numbers(ticks_over(row.low, row.high)) == row.over);
    CHECK(numbers(ticks_within(row.low, row.high)) == row.within);
  }
}

TEST_CASE("ticks are 4 to 10 multiples of 1, 2 or 5, and enclose the range or lie in it") {
  std::mt19937 random(7);
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(random()) / 4294967296.0;
  };
  for (int i = 0; i < 3000; ++i) {
    const double size = std::pow(10.0, between(-12.0, 12.0)), low = between(-size, size);
    const double high = low + size * std::pow(10.0, between(-3.5, 1.0));
    for (const bool over : {true, false}) {
      const auto ticks = over ? ticks_over(low, high) : ticks_within(low, high);
      REQUIRE((ticks.size() >= 4 && ticks.size() <= (over ? 8 : 10)));
      const double step = (ticks.back() - ticks.front()) / static_cast<double>(ticks.size() - 1);
      const double lead = step / std::pow(10.0, std::floor(std::log10(step * (1.0 + 1e-9))));
      REQUIRE(std::fabs((lead - 1.0) * (lead - 2.0) * (lead - 5.0)) < 1e-6);
      for (const double tick : ticks) REQUIRE(std::fabs(std::remainder(tick / step, 1.0)) < 1e-6);
      const double slack = 1e-6 * step;
      REQUIRE((over ? ticks.front() <= low + slack : ticks.front() >= low - slack));
      REQUIRE((over ? ticks.back() >= high - slack : ticks.back() <= high + slack));
      REQUIRE((over ? ticks[1] > low - slack : ticks.front() - step < low));
    }
  }
}

TEST_CASE("points stand where the axes say") {
  const std::vector<PlotPoint> points = {{25, 0.031}, {40, 4.5}, {62, 12.25}, {71.5, 0.4}, {90, 2}};
  for (int i = 0; i < 4; ++i) {
    Plot plot = plot_of(points);
    const bool log = plot.log_y = i % 2 == 1;
    if (i < 2) plot.x.range = PlotRange{13.0, 97.0}, plot.y.range = PlotRange{0.01, 13.0};
    const std::string svg = svg_of(plot);
    const auto spots = starts_of(svg, "dots");
    REQUIRE(spots.size() == points.size() + 1);  // the last is the legend's
    for (std::size_t k = 0; k < points.size(); ++k) {
      CHECK(std::fabs(value_at(svg, "x", spots[k].x) - points[k].x) < 0.01);
      const double off = value_at(svg, "y", spots[k].y, log) - points[k].y;
      CHECK(std::fabs(off) < (log ? 1e-3 * points[k].y : 1e-3));
    }
  }
}

TEST_CASE("a logarithmic axis runs over whole decades") {
  const std::map<double, std::string> rows = {
      {3, "[1][2][5][10]"},
      {40, "[1][2][5][10][20][50][100]"},
      {700, "[1][10][100][1000]"},
      {7e9, "[1][100][10000][1000000][100000000][10000000000]"},
  };
  for (const auto& [highest, ticks] : rows) {
    Plot plot = plot_of({{0, 3}, {1, highest}});
    plot.log_y = true;
    CHECK(texts_of(svg_of(plot), "y-tick") == ticks);
  }
}

TEST_CASE("pictures are well-formed, named, and lean on nothing outside") {
  Plot hostile = reliability();
  hostile.title = "a <b> & \"c\" 'd' ]]> &amp;";
  const char bytes[] = "nul \0 bell \a cut \xC3 & \x80 &\x80 \xFF \xEF\xBF\xBE";
  hostile.summary = std::string(bytes, sizeof bytes - 1);
  hostile.marks = {{0.3, "<\x80>"}, {0.31, "ü € 漢 😀"}};
  for (const Plot& plot : {reliability(), hostile, Plot{}}) {
    const std::string svg = svg_of(plot);
    const auto elements = all_of(svg);
    CHECK((elements[0].name == "svg" && elements[0].at("role") == "img"));
    CHECK((elements[1].name == "title" && elements[1].text == plot.title));
    CHECK((elements[2].name == "desc" && !elements[2].text.empty()));
    test::check_leans_on_nothing(svg);
  }
  const std::string svg = svg_of(hostile);
  CHECK(all_of(svg)[2].text == "nul ? bell ? cut ? & ? &? ? ?");
  CHECK(texts_of(svg, "mark-label") == "[ü € 漢 😀][<?>]");
  CHECK(texts_of(svg, "title") == "[" + hostile.title + "]");
  hostile.summary.clear();
  CHECK(all_of(svg_of(hostile))[2].text ==
        "Amplitude (mm/s) against Speed (mph). reading. as predicted. <?>: 0.3. ü € 漢 😀: 0.31.");
}

TEST_CASE("the same plot gives the same bytes in every locale") {
  Plot plot = reliability();
  plot.x.range = PlotRange{0.0, 12345.6};
  plot.marks = {{0.25, "one"}, {1234.5, "two"}};
  const std::string svg = svg_of(plot);
  const std::locale before = std::locale::global({std::locale::classic(), new test::DecimalComma});
  CHECK(svg_of(plot) == svg);
  std::locale::global(before);
}

TEST_CASE("what can't be drawn is skipped, and lines break there") {
  const std::vector<PlotPoint> points = {{1, 1},  {2, 2},          {kNan, 3}, {4, kInfinite},
                                         {5, 1},  {6, -kInfinite}, {7, 2},    {8, 1e200},
                                         {9, -1}, {10, 3}};
  struct Row {
    PlotKind kind;
    const char* path;
    std::size_t linear, log;
  };
  // By hand. On the logarithmic axis (9, -1) goes as well.
  const Row rows[] = {{PlotKind::points, "dots", 6, 5},
                      {PlotKind::line, "line", 4, 4},
                      {PlotKind::bars, "bars", 6, 5}};
  for (const Row& row : rows) {
    Plot plot = plot_of(points, row.kind);
    plot.series[0].name.clear();  // no sample in a legend
    CHECK(starts_of(svg_of(plot), row.path).size() == row.linear);
    plot.log_y = true;
    CHECK(starts_of(svg_of(plot), row.path).size() == row.log);
  }
}

TEST_CASE("an error bar runs from low to high, to the frame where it would leave") {
  Plot plot =
      plot_of({{1, 10, 1, 100}, {2, 10, 1}, {3, 10}, {4, 10, 0, 1e5}}, PlotKind::error_bars);
  plot.x.range = PlotRange{0.0, 5.2};
  plot.y.range = PlotRange{1.0, 100.0};
  plot.log_y = true;
  // By hand: 100 px for each 1 of x; the frame is 300 px high over two decades, 10 is its middle.
  CHECK(all_of(svg_of(plot), "whiskers").at(0).at("d") ==
        "M100 150V300m-4 0h8M100 150V0m-4 0h8M200 150V300m-4 0h8M400 150V300M400 150V0");
}

TEST_CASE("a given range holds, whatever the data") {
  Plot plot = plot_of({{10, 5}, {40, 50}, {90, 5}, {50, 500}});
  plot.x.range = PlotRange{15.0, 85.0};
  plot.y.range = PlotRange{0.0, 100.0};
  CHECK(texts_of(svg_of(plot), "x-tick") == "[20][30][40][50][60][70][80]");
  CHECK(starts_of(svg_of(plot), "dots").size() == 2);  // one point, and the legend's
  for (const PlotRange& none : {PlotRange{85, 15}, PlotRange{1, 1}, PlotRange{kNan, 1}}) {
    plot.x.range = none;
    CHECK(texts_of(svg_of(plot), "x-tick") == "[0][20][40][60][80][100]");
  }
}

TEST_CASE("values at the edge of what a number can be give numbers") {
  const double sizes[] = {0.0, 5e-324, 1e-150, 1e-99, 1.0, 1e15, 1e100, 1e300, kInfinite, kNan};
  for (int i = 0; i < 400; ++i) {
    const double a = sizes[i % 10], b = sizes[i / 10 % 10];
    Plot plot = plot_of({{a, b, -b, a}, {-b, -a, b, b}, {1, 1}}, static_cast<PlotKind>(i / 100));
    plot.log_y = a < b;
    plot.series[0].bar_width = a;
    plot.marks = {{b, "here"}};
    plot.x.range = PlotRange{-a, b};
    plot.width = a;
    for (const Element& each : all_of(svg_of(plot))) {
      for (const char* key : {"d", "x", "y", "width", "height", "viewBox"}) {
        REQUIRE(each.at(key).find('n') == std::string::npos);  // "infinite", "not a number"
      }
    }
  }
}

TEST_CASE("labels of marks keep clear of one another and of other marks' lines") {
  struct Box {
    double left, right, top, bottom;
    bool meets(const Box& other) const {
      return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
  };
  std::vector<PlotMark> usual = {{13.2, "tire order 1"}, {26.4, "tire order 2"}};
  usual.insert(usual.end(), {{39.6, "tire order 3"}, {41.3, "driveshaft order 1"}});
  usual.insert(usual.end(), {{82.6, "driveshaft order 2"}, {90, "engine order 2"}});
  const std::vector<PlotMark> crowded = {
      {99, "a"}, {99, "same"}, {100, "at the edge"}, {0, "left"}};
  for (const auto& marks : {usual, crowded}) {
    Plot plot = plot_of({{0, 0}, {100, 1}}, PlotKind::line);
    plot.marks = marks;
    const std::string svg = svg_of(plot);
    std::vector<Box> boxes;
    for (const Element& each : all_of(svg, "mark-label")) {
      const double x = each.number("x"), y = each.number("y");
      // 12 px high, letters 0.6 as wide on average.
      boxes.push_back({x, x + 7.2 * static_cast<double>(each.text.size()), y - 9.0, y + 3.0});
    }
    std::istringstream lines(all_of(svg, "mark").at(0).at("d"));
    char letter = 0;
    double x = 0, from = 0, to = 0;
    while (lines >> letter >> x >> from >> letter >> to) boxes.push_back({x, x, to, from});
    REQUIRE(boxes.size() == 2 * marks.size());
    for (std::size_t i = 0; i < boxes.size(); ++i) {
      for (std::size_t j = 0; j < std::min(i, marks.size()); ++j) CHECK(!boxes[i].meets(boxes[j]));
    }
  }
}

TEST_CASE("six series differ without colour") {
  Plot plot;
  for (int i = 0; i < 12; ++i) {
    plot.series.push_back({"", i < 6 ? PlotKind::line : PlotKind::points, {{1.0, 0.5}}});
  }
  std::set<std::string> dashes, shapes;
  for (const Element& each : all_of(svg_of(plot))) {
    if (each.name == "g") dashes.insert(each.at("stroke-dasharray"));
    if (each.at("class") == "dots") shapes.insert(each.at("d"));
  }
  CHECK((dashes.size() == 6 && shapes.size() == 6));
}

TEST_CASE("a plot of nothing says so") {
  Plot plot = plot_of({{kNan, 1}});
  CHECK(texts_of(svg_of(plot), "empty") == "[no data]");
  CHECK(texts_of(svg_of(plot), "legend") == "[reading (no data)]");
  CHECK(texts_of(svg_of(plot), "x-tick").empty());
  CHECK(texts_of(svg_of(Plot{}), "empty") == "[no data]");
  plot.series.push_back({"as predicted", PlotKind::line, {{0, 0}, {1, 1}}, true});
  CHECK(texts_of(svg_of(plot), "empty") == "[no data]");
  plot.series.push_back({"second", PlotKind::points, {{0.5, 0.5}}});
  CHECK(texts_of(svg_of(plot), "empty").empty());
}
