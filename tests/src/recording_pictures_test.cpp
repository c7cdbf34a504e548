// Pictures of a recording: what is where in them, from analyses made up by hand.
#include "src/answers/recording/recording_pictures.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <vector>

#include "tests/engine/picture/svg_reader.h"

using namespace perrev;

namespace {

// A tone of 0.3 m/s2 in line 40, above a floor.
Spectrum spectrum_of(Domain domain, double step) {
  Spectrum out;
  out.domain = domain;
  out.step = step;
  out.bandwidth = 1.5 * step;
  out.density[kAllAxes].assign(100, 1e-6 / step);
  out.density[kAllAxes][0] = 96.2 / step;  // gravity
  out.density[kAllAxes][40] = 0.3 * 0.3 / 2.0 / out.bandwidth;
  return out;
}

const std::vector<LabelledLine> kLines = {{Domain::time, 20.0, "tire order 1"},
                                          {Domain::time, 40.0, "tire order 2"},
                                          {Domain::road, 0.5, "tire order 1"},
                                          {Domain::road, 1.7, "driveshaft order 1"},
                                          {Domain::engine, 2.0, "engine order 2"}};

// Two bands of 5 m/s with a gap of one between them; the ridge rises with speed.
SpeedMap map_of(Domain domain) {
  SpeedMap out;
  out.domain = domain;
  out.step = 0.5;
  out.first_speed = 20.0;
  out.band = 5.0;
  out.density = {std::vector<double>(40, 1e-4), {}, std::vector<double>(40, 1e-4)};
  out.density[0][0] = out.density[2][0] = 1e3;
  out.density[0][22] = 1e-2;
  out.density[2][32] = 1e-1;
  out.density[2][33] = 0.0;
  return out;
}

}  // namespace

TEST_CASE("a spectrum shows a tone at its amplitude, and the lines of its own domain") {
  PictureTerms terms;
  const Plot plot = spectrum_picture(spectrum_of(Domain::time, 0.5), kLines, terms);
  CHECK(plot.log_y);
  CHECK((plot.x.label == "Frequency" && plot.x.unit == "Hz"));
  REQUIRE(plot.series.size() == 1);
  const PlotPoint* highest = nullptr;
  for (const PlotPoint& point : plot.series[0].points)
    if (highest == nullptr || point.y > highest->y) highest = &point;
  REQUIRE(highest != nullptr);
  CHECK(highest->x == doctest::Approx(20.0));
  CHECK(highest->y == doctest::Approx(0.3));
  REQUIRE(plot.marks.size() == 2);
  CHECK((plot.marks[1].x == 40.0 && plot.marks[1].label == "tire order 2"));
  CHECK(plot.summary ==
        "Amplitude of all axes against Frequency. Highest: 0.300 m/s\u00B2 at 20.00 Hz. "
        "Marked: tire order 1 at 20.00 Hz. Marked: tire order 2 at 40.00 Hz.");
}

TEST_CASE("the axis of a spectrum is in the unit of its domain") {
  PictureTerms terms;
  const Spectrum road = spectrum_of(Domain::road, 0.0125);
  const Plot metres = spectrum_picture(road, kLines, terms);
  CHECK((metres.x.unit == "1/m" && metres.marks[0].x == 0.5));
  terms.circumference = 2.1;
  const Plot orders = spectrum_picture(road, kLines, terms);
  CHECK((orders.x.label == "Tire order" && orders.x.unit.empty()));
  REQUIRE(orders.marks.size() == 2);
  CHECK(orders.marks[0].x == doctest::Approx(1.05));
  CHECK(orders.summary.find("at tire order 1.05.") != std::string::npos);
  const Plot engine = spectrum_picture(spectrum_of(Domain::engine, 0.05), kLines, terms);
  CHECK((engine.x.label == "Engine order" && engine.marks.size() == 1));
}

TEST_CASE("a spectrum ends where it is told to, and nothing beyond sets its height") {
  PictureTerms terms;
  terms.highest_hz = 15.0;
  terms.width = 300.0;
  const Plot plot = spectrum_picture(spectrum_of(Domain::time, 0.5), kLines, terms);
  CHECK((plot.x.range && plot.x.range->high == 15.0));
  CHECK(plot.series[0].points.back().x <= 15.0);
  CHECK(plot.y.range->high < 0.01);
  CHECK(plot.width == 300.0);
  CHECK(test::texts_of(svg_of(plot), "mark-label").empty());
  CHECK(test::texts_of(svg_of(spectrum_picture(Spectrum{}, {}, terms)), "empty") == "[no data]");
}

TEST_CASE("a map shows levels against the strongest, speeds nobody drove, and orders that lean") {
  PictureTerms terms;
  terms.units = Units::metric;
  const HeatMap map = map_picture(map_of(Domain::time), kLines, terms);
  CHECK(map.y.unit == "km/h");
  CHECK(map.first_y == doctest::Approx(72.0));
  CHECK(map.step_y == doctest::Approx(18.0));
  REQUIRE(map.rows.size() == 3);
  CHECK(map.rows[1].empty());
  CHECK(map.rows[2][32] == doctest::Approx(0.0));
  CHECK(map.rows[0][22] == doctest::Approx(-10.0));
  CHECK(map.rows[0][0] < -100.0);  // gravity takes no part
  CHECK(map.rows[2][33] < -100.0);
  // 0.5 cycles per metre are 12.5 Hz at 25 m/s, which is 90 km/h; line 22 is at 11 Hz.
  REQUIRE(map.lines.size() == 4);
  CHECK(map.lines[2].slope * 90.0 == doctest::Approx(12.5));
  CHECK((map.lines[0].slope == 0.0 && map.lines[0].at == 20.0));
  CHECK(map.first_x + 22.5 * map.step_x == doctest::Approx(11.0));
  const std::string svg = svg_of(map);
  CHECK(test::texts_of(svg, "legend") == "[Level against the strongest (dB)][not driven]");
  test::check_leans_on_nothing(svg);
}

TEST_CASE("in a map of the road orders stand upright") {
  PictureTerms terms;
  terms.circumference = 2.0;
  terms.highest_tire_order = 8.0;
  const HeatMap map = map_picture(map_of(Domain::road), kLines, terms);
  REQUIRE(map.lines.size() == 2);
  CHECK((map.lines[0].slope == 0.0 && map.lines[0].at == 1.0));
  CHECK((map.lines[1].at == doctest::Approx(3.4)));
  CHECK((map.x.range && map.x.range->high == 8.0));
  CHECK(test::texts_of(svg_of(map_picture(SpeedMap{}, kLines, terms)), "empty") == "[no data]");
}

TEST_CASE("orders over speed, with what noise alone would show") {
  std::vector<Track> tracks(2);
  tracks[0].points = {{20.0, 10.0, {0.3, 0.0, 0.4}, {}, 0.02, 5.0},
                      {30.0, 15.0, {0.06, 0.0, 0.08}, {}, 0.03, 5.0}};
  tracks[1].points = {{30.0, 30.0, {0.0, 0.2, 0.0}, {}, 0.05, 5.0}};
  PictureTerms terms;
  terms.units = Units::metric;
  const Plot plot = track_picture(tracks, {"tire order 1", "tire order 2"}, terms);
  REQUIRE(plot.series.size() == 3);
  CHECK(plot.series[0].points[0].x == doctest::Approx(72.0));
  CHECK(plot.series[0].points[0].y == doctest::Approx(0.5));
  CHECK((plot.series[2].reference && plot.series[2].points.size() == 2));
  CHECK(plot.series[2].points[1].y == 0.05);
  CHECK(plot.summary ==
        "Amplitude of each order over speed. tire order 1: up to 0.500 m/s\u00B2 at 72 km/h. "
        "tire order 2: up to 0.200 m/s\u00B2 at 108 km/h.");
  CHECK(test::texts_of(svg_of(track_picture({}, {}, terms)), "empty") == "[no data]");
}
