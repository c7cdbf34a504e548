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

bool PairedMean::may_be_chance() const { return std::abs(change()) <= 2.0 * error; }

namespace {

PairedMean mean_of(const std::vector<double>& before, const std::vector<double>& after) {
  PairedMean out;
  if (before.empty()) return out;
  const double n = static_cast<double>(before.size());
  double squares = 0.0;
  for (std::size_t i = 0; i < before.size(); ++i) {
    out.before += before[i] / n;
    out.after += after[i] / n;
    const double difference = after[i] - before[i];
    squares += difference * difference;
  }
  const double spread = squares / n - out.change() * out.change();
  if (n > 1.0) out.error = std::sqrt(std::max(0.0, spread) / (n - 1.0));
  return out;
}

}  // namespace

PairedReport paired_report(const std::vector<TrialRun>& before,
                           const std::vector<TrialRun>& after) {
  PairedReport out;
  std::vector<double> first[2], minutes[2], solved[2];
  for (std::size_t i = 0; i < before.size(); ++i) {
    const TrialRun* runs[2] = {&before[i], &after[i]};
    for (std::size_t side = 0; side < 2; ++side) {
      const TrialRun& run = *runs[side];
      minutes[side].push_back(run.minutes);
      solved[side].push_back(run.solved ? 1.0 : 0.0);
      if (run.truth.first >= 0) first[side].push_back(run.rank == 1 ? 1.0 : 0.0);
    }
    ++out.complaints;
    if (runs[0]->minutes == runs[1]->minutes && runs[0]->rank == runs[1]->rank &&
        runs[0]->solved == runs[1]->solved)
      ++out.alike;
  }
  out.first = mean_of(first[0], first[1]);
  out.minutes = mean_of(minutes[0], minutes[1]);
  out.solved = mean_of(solved[0], solved[1]);
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
