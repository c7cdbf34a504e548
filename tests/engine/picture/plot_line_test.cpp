// Lines of so many points that not all of them are drawn.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "engine/picture/plot.h"
#include "tests/engine/picture/svg_reader.h"

using namespace perrev;

TEST_CASE("a line of very many points stays small and loses no peak") {
  std::vector<PlotPoint> points;
  for (int i = 0; i <= 200000; ++i) points.push_back({i * 0.001, 0.3 + 0.1 * std::sin(i * 1.7)});
  points[123456].y = 0.97;
  points[43210].y = 0.02;
  Plot plot;
  plot.series = {{"", PlotKind::line, points}};
  plot.x.range = PlotRange{0.0, 200.0};
  plot.y.range = PlotRange{0.0, 1.0};
  const std::string svg = svg_of(plot);
  CHECK(svg.size() < 60000);
  const std::string line = test::all_of(svg, "line").at(0).at("d");
  // By hand: the frame is 520 px wide for 200 and 300 px high for 1.
  CHECK(line.find("L320.99 9L") != std::string::npos);
  CHECK(line.find("L112.35 294L") != std::string::npos);
  CHECK(line.rfind("M0 210h0", 0) == 0);
  // In each pixel's width it reaches as high and as low as its points.
  std::map<int, std::pair<double, double>> due, drawn;
  const auto widen = [](auto& into, double x, double y) {
    auto& [low, high] = into.try_emplace(static_cast<int>(std::floor(x)), y, y).first->second;
    low = std::min(low, y), high = std::max(high, y);
  };
  for (const PlotPoint& point : points) widen(due, 2.6 * point.x, 300.0 - 300.0 * point.y);
  std::istringstream path(line);
  char letter = 0;
  for (double x = 0.0, y = 0.0; path >> letter;) {
    if (letter == 'h') {
      path >> x;
      continue;
    }
    path >> x >> y;
    // To 2 decimals a point may stand in the next column.
    widen(drawn, x - 0.006, y), widen(drawn, x + 0.006, y);
  }
  int wrong = 0;
  for (const auto& [column, ends] : due) {
    if (drawn.count(column) == 0 || drawn[column].first > ends.first + 0.006 ||
        drawn[column].second < ends.second - 0.006)
      ++wrong;
  }
  CHECK(due.size() == 521);
  CHECK(wrong == 0);
}
