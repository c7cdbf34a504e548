#include "engine/planning/trial_report.h"

#include <algorithm>
#include <cmath>

namespace perrev {

namespace {

constexpr int kBins = 10;

}  // namespace

TrialReport report_of(const std::string& strategy, const std::vector<TrialRun>& runs) {
  TrialReport out;
  out.strategy = strategy;
  out.complaints = static_cast<int>(runs.size());
  for (int b = 0; b < kBins; ++b)
    out.bins.push_back({static_cast<double>(b) / kBins, static_cast<double>(b + 1) / kBins});
  if (runs.empty()) return out;
  const double n = static_cast<double>(runs.size());
  double squares = 0.0, listed = 0.0;
  std::vector<double> minutes;
  for (const TrialRun& run : runs) {
    out.solved += run.solved ? 1.0 : 0.0;
    out.minutes += run.minutes;
    squares += run.minutes * run.minutes;
    out.bound += run.bound;
    out.checks += run.checks;
    out.repairs += run.repairs;
    minutes.push_back(run.minutes);
    if (run.truth.first >= 0) {
      listed += 1.0;
      out.first += run.rank == 1 ? 1.0 : 0.0;
      out.first_three += run.rank >= 1 && run.rank <= 3 ? 1.0 : 0.0;
    }
    ReliabilityBin& bin =
        out.bins[static_cast<std::size_t>(std::min(kBins - 1, static_cast<int>(run.top * kBins)))];
    ++bin.count;
    bin.predicted += run.top;
    bin.observed += run.top_is_true ? 1.0 : 0.0;
  }
  for (double* mean : {&out.solved, &out.minutes, &out.bound, &out.checks, &out.repairs})
    *mean /= n;
  out.minutes_sd = std::sqrt(std::max(0.0, squares / n - out.minutes * out.minutes) / n);
  if (listed > 0.0) {
    out.first /= listed;
    out.first_three /= listed;
  }
  const std::size_t at = std::min(minutes.size() - 1, minutes.size() * 9 / 10);
  std::nth_element(minutes.begin(), minutes.begin() + static_cast<std::ptrdiff_t>(at),
                   minutes.end());
  out.minutes_90 = minutes[at];
  for (ReliabilityBin& bin : out.bins) {
    if (bin.count == 0) continue;
    bin.predicted /= bin.count;
    bin.observed /= bin.count;
    out.calibration_error += bin.count / n * std::abs(bin.predicted - bin.observed);
  }
  return out;
}

Plot reliability_plot(const TrialReport& report) {
  Plot out;
  out.title = "Reliability of the cause that stood first";
  out.x.label = "Probability that was told";
  out.y.label = "Share in which the cause was there";
  out.x.range = out.y.range = {{0.0, 1.0}};
  out.width = out.height = 360;
  PlotSeries even;
  even.name = "as told";
  even.kind = PlotKind::line;
  even.reference = true;
  even.points = {{0.0, 0.0}, {1.0, 1.0}};
  PlotSeries found;
  found.name = report.strategy;
  found.kind = PlotKind::error_bars;
  for (const ReliabilityBin& bin : report.bins) {
    if (bin.count == 0) continue;
    const double sd = std::sqrt(bin.predicted * (1.0 - bin.predicted) / bin.count);
    PlotPoint point{bin.predicted, bin.observed};
    point.low = std::max(0.0, bin.observed - 2.0 * sd);
    point.high = std::min(1.0, bin.observed + 2.0 * sd);
    point.note = std::to_string(bin.count);
    found.points.push_back(point);
  }
  out.series = {even, found};
  return out;
}

}  // namespace perrev
