#include "engine/shopmath/wear_and_play.h"

#include <cmath>

namespace perrev {
namespace {

constexpr double kDeepestGroove = 0.030;  // m; more is no tire of a car or truck
constexpr double kMostDialReading = 0.05;

}  // namespace

Result<TreadAcross> tread_across(const std::vector<std::vector<double>>& grooves,
                                 const ReadingGauge& gauge, double legal) {
  if (grooves.size() < 2 || grooves.size() > 8)
    return problem("the tread's wear shows over its width", "2 to 8 grooves, inside to outside");
  for (const auto& groove : grooves)
    for (const double depth : groove)
      if (!(depth >= 0.0 && depth <= kDeepestGroove))
        return problem("no groove is that deep", "0 to 30 mm");
  if (!(legal >= 0.0 && legal <= kDeepestGroove))
    return problem("no law asks for such a depth", "0 to 30 mm, as the law of the place says");
  const auto means = means_of_places(grooves, gauge);
  if (!means) return means.error();
  const std::size_t count = grooves.size(), last = count - 1;
  std::size_t least = 0;
  for (std::size_t i = 1; i < count; ++i)
    if (std::round(means->means[i] * 1e9) < std::round(means->means[least] * 1e9)) least = i;
  std::vector<double> weights(count, 0.0);
  weights[least] = 1.0;
  TreadAcross out;
  out.least = means->interval(weights);
  out.under_legal = out.least.value < legal;
  weights.assign(count, 0.0);
  weights[0] = -1.0;
  weights[last] = 1.0;
  out.inside_less = means->interval(weights);
  if (count > 2) {
    weights.assign(count, 1.0 / static_cast<double>(count - 2));
    weights[0] = weights[last] = -0.5;
    out.shoulders_less = means->interval(weights);
  }
  return out;
}

Result<Interval> bearing_play(const std::vector<double>& pushed, const std::vector<double>& pulled,
                              const ReadingGauge& dial) {
  for (const auto* side : {&pushed, &pulled})
    for (const double reading : *side)
      if (!(std::fabs(reading) <= kMostDialReading))
        return problem("no wheel bearing lets the dial go that far", "readings within 50 mm");
  const auto means = means_of_places({pushed, pulled}, dial);
  if (!means) return means.error();
  const Scatter scatter = means->scatter({-1.0, 1.0});
  // Which way the dial counts is no matter.
  return interval_about(std::fabs(means->sum({-1.0, 1.0})), scatter);
}

}  // namespace perrev
