#include "engine/shopmath/repeated_readings.h"

#include <algorithm>
#include <cmath>

#include "engine/shopmath/least_squares.h"

namespace perrev {
namespace {

bool usable_step(double value) { return std::isfinite(value) && value >= 0.0; }

}  // namespace

double PlaceMeans::sum(const std::vector<double>& weights) const {
  double out = 0.0;
  for (std::size_t i = 0; i < means.size(); ++i) out += weights[i] * means[i];
  return out;
}

Scatter PlaceMeans::scatter(const std::vector<double>& weights) const {
  double variance = 0.0;
  for (std::size_t i = 0; i < means.size(); ++i) variance += weights[i] * weights[i] * shares[i];
  return {of_one_reading.sd * std::sqrt(variance), of_one_reading.freedom};
}

Interval PlaceMeans::interval(const std::vector<double>& weights) const {
  return interval_about(sum(weights), scatter(weights));
}

Result<PlaceMeans> means_of_places(const std::vector<std::vector<double>>& places,
                                   const ReadingGauge& gauge) {
  if (!usable_step(gauge.resolution) || (gauge.repeatability && !usable_step(*gauge.repeatability)))
    return problem("the gauge's step or repeatability is no number", "0 or more");
  std::vector<std::vector<double>> rows;
  std::vector<double> readings;
  for (std::size_t place = 0; place < places.size(); ++place) {
    if (places[place].empty())
      return problem("a place has no reading", "at least one reading of each");
    for (const double reading : places[place]) {
      if (!std::isfinite(reading)) return problem("a reading is no number");
      rows.emplace_back(places.size(), 0.0).at(place) = 1.0;
      readings.push_back(reading);
    }
  }
  const auto fit = least_squares(rows, readings);
  if (!fit) return fit.error();
  std::optional<double> known;
  if (gauge.repeatability) known = Gauge{gauge.resolution, *gauge.repeatability}.sd();
  auto scatter = fit->scatter(known);
  if (!scatter)
    return problem("nothing says how far readings scatter",
                   "the gauge's repeatability, or one place read again");
  const double step = Gauge{gauge.resolution, 0.0}.sd();
  if (scatter->sd < step) scatter = Scatter{step, std::nullopt};
  PlaceMeans out;
  out.means = fit->values;
  for (std::size_t i = 0; i < places.size(); ++i) out.shares.push_back(fit->covariance[i][i]);
  out.of_one_reading = *scatter;
  return out;
}

Result<VectorEstimate> mean_of_vectors(const std::vector<Vector>& readings) {
  if (readings.size() < 2)
    return problem("one reading does not say how far readings scatter", "two or more, better five");
  std::vector<std::vector<double>> rows;
  std::vector<double> components;
  for (const Vector reading : readings) {
    rows.push_back({1.0, 0.0});
    components.push_back(reading.real());
    rows.push_back({0.0, 1.0});
    components.push_back(reading.imag());
  }
  const auto fit = least_squares(rows, components);
  if (!fit.ok()) return fit.error();
  return fit->vector(0, 1, *fit->scatter(std::nullopt));
}

}  // namespace perrev
