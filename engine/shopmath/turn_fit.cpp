#include "engine/shopmath/turn_fit.h"

#include <algorithm>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>
#include <string>

#include "engine/quantity/angle.h"
#include "engine/shopmath/extremes.h"
#include "engine/shopmath/least_squares.h"

namespace perrev {
namespace {

constexpr int kMostHarmonics = 4, kReadingsEach = 4, kFreedomToTell = 3;
constexpr double kSamePlace = kDegree;
// Evenly spaced readings settle a component to a variance of 2 / n.
constexpr double kLoosest = 10.0, kLoosestMore = 4.0;
constexpr std::size_t kMostOdd = 3;
constexpr double kOddShare = 0.005, kRougherShare = 0.001;

std::string reading_name(std::size_t index) { return "reading " + std::to_string(index + 1); }

Result<std::vector<double>> places_of(const TurnReadings& of) {
  const std::size_t n = of.readings.size();
  const std::string right = "take 4 to 36 readings round one turn";
  if (n < kFewestReadings)
    return problem(
        std::to_string(n) + (n == 1 ? " reading settles" : " readings settle") + " no runout",
        right);
  if (n > kMostReadings) return problem(std::to_string(n) + " readings are more than 36", right);
  for (std::size_t i = 0; i < n; ++i)
    if (!std::isfinite(of.readings[i])) return problem(reading_name(i) + " is no number", right);
  std::vector<double> out = of.angles;
  if (out.empty())
    for (std::size_t i = 0; i < n; ++i)
      out.push_back(kTurn * static_cast<double>(i) / static_cast<double>(n));
  if (out.size() != n)
    return problem("there are " + std::to_string(n) + " readings and " +
                       std::to_string(out.size()) + " angles",
                   "give each reading its angle, or none");
  for (std::size_t i = 0; i < n; ++i) {
    if (!std::isfinite(out[i]) || out[i] < 0.0 || out[i] > kTurn - 1e-9)
      return problem("the angle of " + reading_name(i) + " lies outside of one turn",
                     "count from 0 at the mark up to less than 360 degrees");
    for (std::size_t j = 0; j < i; ++j) {
      const double apart = std::abs(std::remainder(out[i] - out[j], kTurn));
      if (apart < kSamePlace)
        return problem(reading_name(j) + " and " + reading_name(i) + " stand at the same place",
                       "read each place once, at least a degree from the others");
    }
  }
  return out;
}

std::optional<double> known_sd(const Gauge& gauge) {
  return gauge.repeatability > 0.0 ? std::optional<double>(gauge.sd()) : std::nullopt;
}

std::vector<double> harmonic_row(double angle, int harmonics) {
  std::vector<double> out{1.0};
  for (int k = 1; k <= harmonics; ++k) {
    out.push_back(std::cos(k * angle));
    out.push_back(std::sin(k * angle));
  }
  return out;
}

Result<LinearFit> fit_harmonics(const std::vector<double>& angles,
                                const std::vector<double>& readings, int harmonics) {
  std::vector<std::vector<double>> rows;
  for (const double angle : angles) rows.push_back(harmonic_row(angle, harmonics));
  return least_squares(rows, readings);
}

bool settles(const LinearFit& fit, double loosest) {
  const double even = 2.0 / static_cast<double>(fit.residuals.size());
  for (std::size_t i = 1; i < fit.values.size(); ++i)
    if (fit.covariance[i][i] > loosest * even) return false;
  return true;
}

int usual_harmonics(int readings) {
  return std::clamp(readings / kReadingsEach, 1, kMostHarmonics);
}

Result<LinearFit> first_fit(const TurnReadings& of, const std::vector<double>& angles) {
  const int n = static_cast<int>(angles.size());
  const Problem bunched = problem("the places stand too close together to see the whole turn",
                                  "spread the readings round the turn");
  if (of.harmonics) {
    const int most = known_sd(of.gauge) ? (n - 1) / 2 : (n - 2) / 2;
    if (*of.harmonics < 1 || *of.harmonics > most)
      return problem(std::to_string(n) + " readings do not tell " + std::to_string(*of.harmonics) +
                         " harmonics",
                     "ask for 1 to " + std::to_string(most) + ", or read more places");
    auto fit = fit_harmonics(angles, of.readings, *of.harmonics);
    if (!fit.ok() || !settles(*fit, kLoosest)) return bunched;
    return fit;
  }
  for (int k = usual_harmonics(n); k >= 1; --k) {
    auto fit = fit_harmonics(angles, of.readings, k);
    if (fit.ok() && settles(*fit, k == 1 ? kLoosest : kLoosestMore)) return fit;
  }
  return bunched;
}

bool scatters_more(const LinearFit& fit, double sd) {
  if (fit.freedom < 1) return false;
  const boost::math::chi_squared expected(fit.freedom);
  const double highest = boost::math::quantile(boost::math::complement(expected, kRougherShare));
  return fit.rms * fit.rms * fit.freedom > highest * sd * sd;
}

// Where the readings scatter no more than it does.
std::optional<double> sd_of(const LinearFit& fit, const Gauge& gauge) {
  const double step = Gauge{gauge.resolution, 0.0}.sd();
  if (const auto sd = known_sd(gauge)) return scatters_more(fit, *sd) ? std::nullopt : sd;
  return fit.rms < step ? std::optional<double>(step) : std::nullopt;
}

struct Oddest {
  std::size_t at = 0;
  double by = 0.0;      // studentised residual
  bool beyond = false;  // of what chance does
};

Oddest oddest(const LinearFit& fit, const std::optional<double>& sd) {
  const double squares = fit.rms * fit.rms * fit.freedom;
  Oddest out;
  for (std::size_t i = 0; i < fit.residuals.size(); ++i) {
    const double own = 1.0 - fit.leverage[i], residual = std::abs(fit.residuals[i]);
    if (own < 1e-6 || residual < 1e-12) continue;
    double scatter = sd.value_or(0.0) * std::sqrt(own);
    if (!sd)
      scatter = std::sqrt(std::max(0.0, squares * own - residual * residual) / (fit.freedom - 1));
    const double by = scatter > 0.0 ? residual / scatter : INFINITY;
    if (by > out.by) out = {i, by, false};
  }
  const Scatter bound{1.0, sd ? std::nullopt : std::optional<double>(fit.freedom - 1)};
  out.beyond =
      out.by > half_width_outside(bound, kOddShare / static_cast<double>(fit.residuals.size()));
  return out;
}

// The largest is taken out, then the next; told are all up to the last that is beyond chance, so
// that two do not hide each other.
std::vector<OddReading> odd_readings(const TurnReadings& of, const TurnFit& whole) {
  std::vector<OddReading> out;
  std::size_t told = 0;
  std::vector<double> angles = whole.angles, readings = of.readings;
  std::vector<std::size_t> index;
  for (std::size_t i = 0; i < readings.size(); ++i) index.push_back(i);
  while (out.size() < kMostOdd) {
    const auto fit = fit_harmonics(angles, readings, static_cast<int>(whole.harmonics.size()));
    if (!fit.ok() || fit->freedom < kFreedomToTell) break;
    const Oddest most = oddest(*fit, sd_of(*fit, of.gauge));
    if (most.by <= 0.0) break;
    out.push_back({index[most.at], fit->residuals[most.at] / (1.0 - fit->leverage[most.at])});
    if (most.beyond) told = out.size();
    const auto gone = static_cast<std::ptrdiff_t>(most.at);
    angles.erase(angles.begin() + gone);
    readings.erase(readings.begin() + gone);
    index.erase(index.begin() + gone);
  }
  out.resize(told);
  return out;
}

}  // namespace

Interval Harmonic::peak_to_peak() const {
  const Interval amount = vector.amount();
  return {2.0 * amount.value, 2.0 * amount.low, 2.0 * amount.high};
}

double Harmonic::high_place() const { return angle_of(vector.value) / order; }

double Harmonic::high_half_width() const { return vector.angle_half_width() / order; }

double TurnFit::at(double angle) const {
  double out = mean.value;
  for (const Harmonic& harmonic : harmonics)
    out += std::real(harmonic.vector.value * vector_at(1.0, -harmonic.order * angle));
  return out;
}

std::optional<Problem> wrong_gauge(const Gauge& gauge) {
  const bool fine = std::isfinite(gauge.resolution) && std::isfinite(gauge.repeatability) &&
                    gauge.resolution >= 0.0 && gauge.repeatability >= 0.0;
  if (fine) return std::nullopt;
  return problem("the gauge's step or repeatability is no number from zero up",
                 "write one step of the gauge, such as 0.01 mm");
}

Result<TurnFit> fit_turn(const TurnReadings& of) {
  if (const auto wrong = wrong_gauge(of.gauge)) return *wrong;
  const auto angles = places_of(of);
  if (!angles.ok()) return angles.error();
  const auto fit = first_fit(of, *angles);
  if (!fit.ok()) return fit.error();
  TurnFit out;
  out.angles = *angles;
  out.freedom = fit->freedom;
  out.residuals = fit->residuals;
  const auto sd = sd_of(*fit, of.gauge);
  out.rougher_than_gauge = known_sd(of.gauge) && !sd;
  out.scatter = *fit->scatter(sd);
  const double half = out.scatter.half_width() * std::sqrt(fit->covariance[0][0]);
  out.mean = {fit->values[0], fit->values[0] - half, fit->values[0] + half};
  for (std::size_t i = 1; i < fit->values.size(); i += 2)
    out.harmonics.push_back({static_cast<int>(i + 1) / 2, fit->vector(i, i + 1, out.scatter)});
  out.spread = spread_of(of.readings, out.scatter);
  out.can_tell_odd = fit->freedom >= kFreedomToTell;
  out.odd = odd_readings(of, out);
  return out;
}

}  // namespace perrev
