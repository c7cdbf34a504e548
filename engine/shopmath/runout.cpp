#include "engine/shopmath/runout.h"

#include <algorithm>
#include <cmath>

#include "engine/quantity/quantity.h"

namespace perrev {
namespace {

// Of the same place read twice, exceeded in 5 % (repeatability limit, ISO 5725-6: 2.8 sd).
constexpr double kRepeatabilityLimit = 2.8;

std::string dial_text(double length) { return show_number(length * 1000.0) + " mm"; }

std::optional<Problem> wrong_total(const RunoutReadings& of) {
  const std::string right = "write the dial's whole swing over one turn, highest less lowest";
  if (!std::isfinite(*of.total) || *of.total < 0.0)
    return problem("the total runout is no number from zero up", right);
  if (*of.total > kMostRunout)
    return problem(
        "a total runout of " + dial_text(*of.total) + " is beyond " + dial_text(kMostRunout),
        "look for a wrong unit or a bumped dial");
  if (of.readings.empty()) return std::nullopt;
  const auto [low, high] = std::minmax_element(of.readings.begin(), of.readings.end());
  const double spread = *high - *low;
  const double slack = of.gauge.resolution + kRepeatabilityLimit * of.gauge.repeatability;
  if (*of.total < spread - slack - 1e-9)
    return problem("the total of " + dial_text(*of.total) + " is less than the " +
                       dial_text(spread) + " between the readings themselves",
                   right);
  return std::nullopt;
}

}  // namespace

Result<Runout> read_runout(const RunoutReadings& of) {
  if (const auto wrong = wrong_gauge(of.gauge)) return *wrong;
  if (of.readings.empty() && !of.total)
    return problem("there is no reading", "read 4 to 36 places round the turn, or the total");
  if (of.total)
    if (const auto wrong = wrong_total(of)) return *wrong;
  const double sd = of.gauge.sd();
  Runout out;
  if (!of.readings.empty()) {
    const auto fit = fit_turn({of.readings, of.angles, of.gauge, of.harmonics});
    if (!fit.ok()) return fit.error();
    if (fit->spread.value > kMostRunout)
      return problem("the readings lie " + dial_text(fit->spread.value) + " apart, beyond " +
                         dial_text(kMostRunout),
                     "look for a wrong unit, a bumped dial, or a turn over the dial's end");
    out.fit = *fit;
    out.total = fit->spread;
    out.eccentricity = fit->harmonics.front().vector.amount();
  } else if (sd <= 0.0) {
    return problem("how finely the dial reads is not known", "write one step of the dial");
  }
  if (of.total) {
    const Scatter scatter = out.fit ? out.fit->scatter : Scatter{sd, std::nullopt};
    const double half = std::sqrt(2.0) * scatter.half_width();
    out.total = {*of.total, std::max(0.0, *of.total - half), *of.total + half};
    if (!out.fit) out.eccentricity = {out.total.value / 2.0, 0.0, out.total.high / 2.0};
  }
  out.coarse = 5.0 * of.gauge.resolution > out.total.value;
  return out;
}

}  // namespace perrev
