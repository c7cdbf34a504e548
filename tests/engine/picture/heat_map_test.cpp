// The map writer: pictures read back as XML and turned into cells and lines again.
#include "engine/picture/heat_map.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <locale>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "tests/engine/picture/svg_reader.h"

using namespace perrev;
using perrev::test::all_of, perrev::test::Element, perrev::test::texts_of;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr int kUnknown = -1, kNowhere = -2;

// A stroke of the picture: a rectangle of one step, 0 to 11, or hatched.
struct Stroke {
  double left, right, top, bottom;
  int step;
};

// In document order, those of the frame; the scale's begin below it.
std::vector<Stroke> strokes_of(const std::string& svg, double height) {
  std::vector<Stroke> out;
  double thickness = 0.0;
  for (const Element& each : all_of(svg)) {
    if (each.at("class") == "heat") thickness = each.number("stroke-width");
    const bool unknown = each.at("class") == "unknown";
    if (each.name != "path" || (!unknown && each.at("stroke-opacity").empty())) continue;
    const int step =
        unknown ? kUnknown
                : static_cast<int>(std::lround((each.number("stroke-opacity") - 0.04) / 0.96 * 11));
    std::istringstream path(each.at("d"));
    char letter = 0;
    for (double x = 0, y = 0, width = 0; path >> letter >> x >> y >> letter >> width;)
      if (y < height) out.push_back({x, x + width, y - thickness / 2, y + thickness / 2, step});
  }
  return out;
}

int step_at(const std::vector<Stroke>& strokes, double x, double y) {
  int found = kNowhere;
  for (const Stroke& each : strokes) {
    if (x < each.left || x > each.right || y < each.top || y > each.bottom) continue;
    REQUIRE(found == kNowhere);  // drawn once
    found = each.step;
  }
  return found;
}

HeatMap map_of(std::vector<std::vector<double>> rows) {
  HeatMap out;
  out.title = "Level over speed";
  out.x = {"Frequency", "Hz"};
  out.y = {"Speed", "mph"};
  out.value = {"Level", "dB"};
  out.rows = std::move(rows);
  return out;
}

}  // namespace

TEST_CASE("cells stand where the axes say, as full of colour as their values") {
  // By hand: 3 columns in 300 px from 10 on, 2 rows in 200 px; 0 to 12, so that a step is 1.
  HeatMap map = map_of({{0.0, 6.5, 12.0}, {11.2, kNan, 3.7}});
  map.width = 300.0, map.height = 200.0;
  map.first_x = 10.0, map.first_y = 40.0, map.step_y = 5.0;
  const std::string svg = svg_of(map);
  const auto strokes = strokes_of(svg, 200.0);
  REQUIRE(strokes.size() == 6);
  const int due[2][3] = {{0, 6, 11}, {11, kUnknown, 3}};
  for (int row = 0; row < 2; ++row)
    for (int column = 0; column < 3; ++column)
      CHECK(step_at(strokes, 100.0 * column + 50.0, 150.0 - 100.0 * row) == due[row][column]);
  CHECK(texts_of(svg, "value-tick") == "[0][2][4][6][8][10][12]");
  CHECK(texts_of(svg, "legend") == "[Level (dB)][no data]");
  CHECK(texts_of(svg, "x-tick") == "[10][10.5][11][11.5][12][12.5][13]");
  CHECK(all_of(svg)[2].text ==
        "Level (dB) against Frequency (Hz) and Speed (mph). Highest: 12 at 12.5 and 42.5.");
}

TEST_CASE("merged cells are as high as the highest of them, and no cell is lost") {
  std::mt19937 random(11);
  for (int i = 0; i < 40; ++i) {
    const std::size_t columns = 1 + random() % 900, count = 1 + random() % 200;
    std::vector<std::vector<double>> rows(count, std::vector<double>(columns));
    for (auto& row : rows)
      for (double& value : row) value = static_cast<double>(random() % 120) / 10.0 + 0.05;
    HeatMap map = map_of(rows);
    map.value.range = PlotRange{0.0, 12.0};
    map.width = 100.0 + static_cast<double>(random() % 500);
    map.height = 100.0 + static_cast<double>(random() % 200);
    const auto strokes = strokes_of(svg_of(map), map.height);
    const double wide = map.width / static_cast<double>(columns);
    const double high = map.height / static_cast<double>(count);
    CAPTURE(columns);
    CAPTURE(count);
    for (int k = 0; k < 60; ++k) {
      const std::size_t column = random() % columns, row = random() % count;
      const int step = step_at(strokes, (static_cast<double>(column) + 0.5) * wide,
                               map.height - (static_cast<double>(row) + 0.5) * high);
      const int own = static_cast<int>(rows[row][column]);
      if (wide >= 2.0 && high >= 2.0 && columns * count <= 12000) CHECK(step == own);
      CHECK(step >= own);
    }
    // One high cell in a plain picture shows, wherever it is, and not much larger than it must.
    for (auto& row : map.rows) std::fill(row.begin(), row.end(), 0.5);
    const std::size_t column = random() % columns, row = random() % count;
    map.rows[row][column] = 11.5;
    double area = 0.0;
    const auto plain = strokes_of(svg_of(map), map.height);
    for (const Stroke& each : plain)
      if (each.step == 11) area += (each.right - each.left) * (each.bottom - each.top);
    CHECK(step_at(plain, (static_cast<double>(column) + 0.5) * wide,
                  map.height - (static_cast<double>(row) + 0.5) * high) == 11);
    const double small = (2.0 + wide) * (2.0 + high);
    CHECK(area <= 1.02 * std::max(small, 4.0 * map.width * map.height / 12000.0));
  }
}

TEST_CASE("no map is larger than 300 kB") {
  for (const double width : {100.0, 520.0, 1333.3, 4000.0}) {
    for (const std::size_t columns : {120U, 3000U}) {  // 12,000 cells, and far more
      const std::size_t count = columns == 120 ? 100 : 2000;
      // No two neighbours alike, merged or not.
      std::vector<std::vector<double>> rows(count, std::vector<double>(columns));
      for (auto& row : rows)
        for (std::size_t i = 0; i < columns; ++i) row[i] = i * 120 / columns % 2 == 0 ? 1.0 : 2.0;
      HeatMap map = map_of(std::move(rows));
      map.width = map.height = width;
      CAPTURE(width);
      CHECK(svg_of(map).size() < 300000);
    }
  }
}

TEST_CASE("only what lies in a given range is drawn, and values beyond theirs take its ends") {
  HeatMap map = map_of({{1.0, 2.0, 3.0, 4.0, 5.0}});
  map.width = 200.0, map.height = 100.0;
  map.x.range = PlotRange{1.5, 3.5};  // 100 px a cell; the first and last are halves
  map.value.range = PlotRange{2.5, 3.7};
  const auto strokes = strokes_of(svg_of(map), 100.0);
  CHECK(step_at(strokes, 25.0, 50.0) == 0);
  CHECK(step_at(strokes, 100.0, 50.0) == 5);
  CHECK(step_at(strokes, 175.0, 50.0) == 11);
  for (const Stroke& each : strokes) CHECK((each.left >= 0.0 && each.right <= 200.01));
}

TEST_CASE("lines run where their slope says and are labelled where they leave") {
  HeatMap map = map_of(std::vector<std::vector<double>>(10, std::vector<double>(10, 1.0)));
  map.rows[0][0] = 2.0;
  map.width = 300.0, map.height = 200.0;  // 30 px for 1 of x, 20 px for 1 of y
  map.lines = {{4.0, 0.0, "upright"},      {0.0, 0.5, "steep"},
               {0.0, 2.0, "flat"},         {-5.0, 1.0, "from below the left edge"},
               {1.0, -1.0, "to the left"}, {11.0, 0.0, "beside"},
               {kNan, 1.0, "nowhere"}};
  const std::string svg = svg_of(map);
  // By hand. "flat" reaches x = 10 at y = 5.
  CHECK(all_of(svg, "across").at(0).at("d") ==
        "M120 200L120 0M0 200L150 0M0 200L300 100M0 100L150 0");
  CHECK(all_of(svg, "halo").at(0).at("d") == all_of(svg, "across").at(0).at("d"));
  CHECK(texts_of(svg, "mark-label") == "[steep][from below the left edge][upright][flat]");
  const Element right = all_of(svg, "mark-label").back();
  CHECK((right.number("x") > 300.0 && right.number("y") == 104.0));
  CHECK(all_of(svg)[2].text.find("to the left.") != std::string::npos);
}

TEST_CASE("labels of lines keep clear of one another, of the frame, and of other labels' lines") {
  std::mt19937 random(5);
  for (int i = 0; i < 60; ++i) {
    HeatMap map = map_of(std::vector<std::vector<double>>(10, std::vector<double>(10, 1.0)));
    map.rows[0][0] = 2.0;
    map.width = 320.0, map.height = 240.0;
    const std::size_t count = 1 + random() % 12;
    for (std::size_t k = 0; k < count; ++k)
      map.lines.push_back(
          {0.0, static_cast<double>(random() % 400) / 100.0, "order line " + std::to_string(k)});
    struct Box {
      double left, right, top, bottom;
      bool meets(const Box& other) const {
        return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
      }
    };
    const std::string svg = svg_of(map);
    std::vector<Box> boxes = {{0.0, 320.0, 0.0, 240.0}};
    for (const Element& each : all_of(svg, "mark-label")) {
      const double x = each.number("x"), y = each.number("y");
      // 12 px high, letters 0.6 as wide on average.
      boxes.push_back({x, x + 7.2 * static_cast<double>(each.text.size()), y - 9.0, y + 3.0});
    }
    REQUIRE(boxes.size() == count + 1);  // none is left out
    for (const Element& each : all_of(svg, "x-tick")) {
      const double half = 3.6 * static_cast<double>(each.text.size());
      boxes.push_back({each.number("x") - half, each.number("x") + half, each.number("y") - 9.0,
                       each.number("y") + 3.0});
    }
    for (std::size_t a = 0; a < boxes.size(); ++a)
      for (std::size_t b = 0; b < std::min(a, count + 1); ++b) CHECK(!boxes[a].meets(boxes[b]));
  }
}

TEST_CASE(
    "maps are well-formed, named, lean on nothing outside, and are the same in every locale") {
  HeatMap map = map_of({{1.5, 2.5}, {kNan, 1234567.0}});
  map.title = "a <b> & \"c\" ]]>";
  map.unknown = "<not driven>";
  map.lines = {{0.5, 0.1, "<\x80> &"}};
  const std::string svg = svg_of(map);
  const auto elements = all_of(svg);
  CHECK((elements[0].name == "svg" && elements[0].at("role") == "img"));
  CHECK((elements[1].name == "title" && elements[1].text == map.title));
  test::check_leans_on_nothing(svg);
  CHECK(texts_of(svg, "mark-label") == "[<?> &]");
  const std::locale before = std::locale::global({std::locale::classic(), new test::DecimalComma});
  CHECK(svg_of(map) == svg);
  std::locale::global(before);
}

TEST_CASE("a map of nothing says so, and values at the edge of what a number can be give numbers") {
  CHECK(texts_of(svg_of(HeatMap{}), "empty") == "[no data]");
  CHECK(texts_of(svg_of(map_of({{kNan, kInfinite}, {}})), "empty") == "[no data]");
  CHECK(texts_of(svg_of(map_of({{kNan, 1.0}, {}})), "empty").empty());
  const double sizes[] = {0.0, 5e-324, 1e-150, 1e-99, 1.0, 1e15, 1e100, 1e300, kInfinite, kNan};
  for (int i = 0; i < 1000; ++i) {
    const double a = sizes[i % 10], b = sizes[i / 10 % 10], c = sizes[i / 100];
    HeatMap map = map_of({{a, b, -c, 1.0}, {c, -a}});
    map.first_x = a, map.step_x = b, map.first_y = -c, map.step_y = i % 3 == 0 ? 1.0 : a;
    map.lines = {{a, b, "here"}, {-c, a, "there"}};
    map.value.range = PlotRange{-a, c};
    if (i % 2 == 0) map.x.range = PlotRange{-b, c};
    map.width = b, map.height = c;
    for (const Element& each : all_of(svg_of(map))) {
      for (const char* key : {"d", "x", "y", "width", "height", "viewBox", "stroke-width"}) {
        REQUIRE(each.at(key).find('n') == std::string::npos);  // "infinite", "not a number"
      }
    }
  }
}
