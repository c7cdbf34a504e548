#include "src/answers/recording/recording_pictures.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>

#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr std::size_t kFirst = 2;      // line; below it the window spreads what does not change
constexpr double kSpectrumSpan = 1e3;  // of amplitudes, down from the highest
constexpr double kMapSpan = 40.0;      // dB, down from the strongest
constexpr double kNothing = -400.0;    // dB, of a density of zero
constexpr char kUnit[] = "m/s\u00B2";

// The horizontal axis of a domain, and how many of its units a unit of the domain is.
struct DomainAxis {
  PlotAxis axis;
  double times = 1.0;
  std::string name;  // before a number: "tire order 2"
};

DomainAxis axis_of(Domain domain, const PictureTerms& terms) {
  switch (domain) {
    case Domain::time:
      return {{"Frequency", "Hz"}, 1.0, ""};
    case Domain::engine:
      return {{"Engine order"}, 1.0, "engine order "};
    case Domain::road:
      break;
  }
  if (terms.circumference > 0.0) return {{"Tire order"}, terms.circumference, "tire order "};
  return {{"Cycles per metre of road", "1/m"}, 1.0, ""};
}

double highest_of(Domain domain, const PictureTerms& terms, double all) {
  const double asked = domain == Domain::time     ? terms.highest_hz
                       : domain == Domain::engine ? terms.highest_engine_order
                                                  : terms.highest_tire_order;
  return asked > 0.0 ? std::min(asked, all) : all;
}

std::string told(const DomainAxis& axis, double at) {
  const std::string unit = axis.axis.unit.empty() ? "" : " " + axis.axis.unit;
  return axis.name + fixed(at, 2) + unit;
}

std::string told_amplitude(double amplitude) {
  return fixed(amplitude, amplitude < 0.1 ? 4 : 3) + " " + kUnit;
}

double size_of(const std::array<double, kAxes>& amplitude) {
  double squares = 0.0;
  for (const double each : amplitude) squares += each * each;
  return std::sqrt(squares);
}

}  // namespace

Plot spectrum_picture(const Spectrum& spectrum, const std::vector<LabelledLine>& lines,
                      const PictureTerms& terms) {
  const DomainAxis axis = axis_of(spectrum.domain, terms);
  const std::vector<double>& density = spectrum.density[kAllAxes];
  const double step = spectrum.step * axis.times;
  const double end = highest_of(spectrum.domain, terms, step * static_cast<double>(density.size()));
  PlotSeries series{"all axes", PlotKind::line};
  PlotPoint highest;
  double lowest = 0.0;
  for (std::size_t i = kFirst; i < density.size(); ++i) {
    const PlotPoint point{step * static_cast<double>(i),
                          std::sqrt(2.0 * density[i] * spectrum.bandwidth)};
    if (point.x > end) break;
    if (point.y > highest.y) highest = point;
    if (i == kFirst || point.y < lowest) lowest = point.y;
    series.points.push_back(point);
  }
  Plot out;
  out.title = "Spectrum of the recording";
  out.x = axis.axis;
  out.y = {"Amplitude", kUnit};
  out.log_y = true;
  out.width = terms.width;
  out.summary = "Amplitude of all axes against " + axis.axis.label + ".";
  if (highest.y > 0.0) {
    out.x.range = PlotRange{0.0, end};
    out.y.range = PlotRange{std::max(lowest, highest.y / kSpectrumSpan), highest.y};
    out.summary += " Highest: " + told_amplitude(highest.y) + " at " + told(axis, highest.x) + ".";
  }
  out.series.push_back(std::move(series));
  for (const LabelledLine& line : lines) {
    if (line.domain != spectrum.domain) continue;
    out.marks.push_back({line.at * axis.times, line.label});
    out.summary += " Marked: " + line.label + " at " + told(axis, line.at * axis.times) + ".";
  }
  return out;
}

HeatMap map_picture(const SpeedMap& map, const std::vector<LabelledLine>& lines,
                    const PictureTerms& terms) {
  const DomainAxis axis = axis_of(map.domain, terms);
  const double per_speed = in_usual_unit(1.0, Dimension::speed, terms.units);
  double strongest = 0.0;
  std::size_t count = 0;
  for (const std::vector<double>& band : map.density) {
    count = std::max(count, band.size());
    for (std::size_t i = kFirst; i < band.size(); ++i) strongest = std::max(strongest, band[i]);
  }
  HeatMap out;
  out.title = "Map of the recording over speed";
  out.x = axis.axis;
  out.y = {"Speed", std::string(usual_unit(Dimension::speed, terms.units))};
  out.value = {"Level against the strongest", "dB", PlotRange{-kMapSpan, 0.0}};
  out.unknown = "not driven";
  out.width = terms.width;
  out.step_x = map.step * axis.times;
  out.first_x = -0.5 * out.step_x;  // a line is the middle of its cell
  out.first_y = map.first_speed * per_speed;
  out.step_y = map.band * per_speed;
  out.x.range =
      PlotRange{0.0, highest_of(map.domain, terms, out.step_x * static_cast<double>(count))};
  for (const std::vector<double>& band : map.density) {
    std::vector<double> row;
    for (std::size_t i = 0; i < band.size(); ++i)
      row.push_back(i >= kFirst && band[i] > 0.0 ? 10.0 * std::log10(band[i] / strongest)
                                                 : kNothing);
    out.rows.push_back(std::move(row));
  }
  for (const LabelledLine& line : lines) {
    if (line.domain == map.domain) out.lines.push_back({line.at * axis.times, 0.0, line.label});
    if (line.domain == Domain::road && map.domain == Domain::time)
      out.lines.push_back({0.0, line.at / per_speed, line.label});
  }
  return out;
}

Plot track_picture(const std::vector<Track>& tracks, const std::vector<std::string>& names,
                   const PictureTerms& terms) {
  const std::string unit(usual_unit(Dimension::speed, terms.units));
  const auto shown = [&](double speed) {
    return in_usual_unit(speed, Dimension::speed, terms.units);
  };
  Plot out;
  out.title = "Orders over speed";
  out.x = {"Speed", unit};
  out.y = {"Amplitude", kUnit};
  out.width = terms.width;
  out.summary = "Amplitude of each order over speed.";
  std::map<double, double> noise;  // by speed, the most that any of them might owe to it
  for (std::size_t i = 0; i < tracks.size(); ++i) {
    PlotSeries series{i < names.size() ? names[i] : "", PlotKind::line};
    PlotPoint highest;
    for (const TrackPoint& at : tracks[i].points) {
      const PlotPoint point{shown(at.speed), size_of(at.amplitude)};
      if (point.y > highest.y) highest = point;
      series.points.push_back(point);
      double& most = noise[point.x];
      most = std::max(most, at.noise);
    }
    if (highest.y > 0.0)
      out.summary += " " + series.name + ": up to " + told_amplitude(highest.y) + " at " +
                     fixed(highest.x, 0) + " " + unit + ".";
    out.series.push_back(std::move(series));
  }
  PlotSeries floor{"noise alone", PlotKind::line};
  floor.reference = true;
  double top = 0.0;
  for (const auto& [speed, most] : noise) floor.points.push_back({speed, most});
  for (const PlotSeries& series : out.series)
    for (const PlotPoint& point : series.points) top = std::max(top, point.y);
  if (!noise.empty()) out.series.push_back(std::move(floor));
  if (top > 0.0) out.y.range = PlotRange{0.0, 1.1 * top};
  return out;
}

}  // namespace perrev
