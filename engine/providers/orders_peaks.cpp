#include "engine/providers/orders_peaks.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/normal.h"

namespace perrev {

namespace {

// Two readings of one peak are rarely further apart than this many of their standard deviations.
constexpr double kApart = 2.8;  // two standard deviations of their difference
// How often a further peak is one of the cause's other lines, where it has some; from memory.
constexpr double kFurtherLine = 0.5;

double normal_share(double low, double high, double mean, double sd) {
  const double root = sd * std::numbers::sqrt2;
  return 0.5 * (std::erf((high - mean) / root) - std::erf((low - mean) / root));
}

double sd_on(const Estimate& line, double readings) {
  return sd_of_sum(line.sd, reading_sd(line.mean) / std::sqrt(readings));
}

double log_share(double low, double high) {
  return std::log(high / low) / std::log(kHighestHz / kLowestHz);
}

}  // namespace

double reading_sd(double hz) { return std::max(0.2, 0.02 * hz); }

double else_density(double hz) { return 1.0 / (hz * std::log(kHighestHz / kLowestHz)); }

double Peak::sd() const { return reading_sd(hz) / std::sqrt(worth * readings); }

std::vector<Peak> peaks_of(std::vector<double> readings, std::optional<double> sd) {
  std::sort(readings.begin(), readings.end());
  std::vector<Peak> out;
  for (const double hz : readings) {
    if (!out.empty() && hz - out.back().hz <= kApart * sd.value_or(reading_sd(out.back().hz))) {
      Peak& peak = out.back();
      peak.hz += (hz - peak.hz) / ++peak.readings;
    } else {
      out.push_back({hz, 1});
    }
  }
  if (sd)
    for (Peak& peak : out) peak.worth = std::pow(reading_sd(peak.hz) / *sd, 2);
  return out;
}

double on_line(double hz, double readings, const Estimate& line) {
  const double sd = sd_on(line, readings);
  return normal_density(hz, line.mean, sd) / else_density(hz) + 1.0 -
         normal_share(kLowestHz, kHighestHz, line.mean, sd);
}

double share_on_line(double low, double high, const Estimate& line) {
  const double sd = sd_on(line, 1);
  return normal_share(low, high, line.mean, sd) +
         (1.0 - normal_share(kLowestHz, kHighestHz, line.mean, sd)) * log_share(low, high);
}

double on_line(const Peak& peak, const Estimate& line) {
  return on_line(peak.hz, peak.worth * peak.readings, line);
}

std::vector<double> explained_by(const std::vector<Peak>& peaks, const std::vector<Estimate>& lines,
                                 const std::vector<double>& shares) {
  std::vector<double> fits;
  for (const Estimate& line : lines)
    for (const Peak& peak : peaks) fits.push_back(on_line(peak, line));
  return explained_by(fits, shares);
}

std::vector<double> explained_by(const std::vector<double>& fits,
                                 const std::vector<double>& shares) {
  const std::size_t lines = shares.size(), peaks = fits.size() / lines;
  std::vector<double> mixed(peaks, 0.0);  // over all lines
  for (std::size_t i = 0; i < lines; ++i)
    for (std::size_t p = 0; p < peaks; ++p) mixed[p] += shares[i] * fits[i * peaks + p];
  std::vector<double> out;
  for (std::size_t i = 0; i < lines; ++i) {
    const double* const fit = fits.data() + i * peaks;
    const double others = 1.0 - shares[i];
    const auto further = [&](std::size_t p) {
      if (lines < 2 || others <= 0.0) return 1.0;
      const double other = (mixed[p] - shares[i] * fit[p]) / others;
      return 1.0 - kFurtherLine + kFurtherLine * std::max(0.0, other);
    };
    double density = 0.0;
    for (std::size_t p = 0; p < peaks; ++p) {
      double all = fit[p];
      for (std::size_t k = 0; k < peaks; ++k)
        if (k != p) all *= further(k);
      density += all / static_cast<double>(peaks);
    }
    out.push_back(kSomethingElse + (1.0 - kSomethingElse) * density);
  }
  return out;
}

}  // namespace perrev
