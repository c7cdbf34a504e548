#include "engine/shopmath/tire_pressure.h"

#include <cmath>

namespace perrev {
namespace {

constexpr double kLowestLabel = 50e3, kHighestTirePressure = 2e6;

std::optional<Problem> wrong_with_pressure(const TirePressureReading& of) {
  if (!(of.label >= kLowestLabel && of.label <= kHighestTirePressure))
    return problem("no label states such a pressure", "0.5 to 20 bar (7 to 290 psi), cold");
  if (!(of.found >= 0.0 && of.found <= kHighestTirePressure))
    return problem("no tire holds such a pressure", "0 to 20 bar (0 to 290 psi)");
  if (!(of.gauge.sd >= 0.0 && of.gauge.sd < 0.5 * of.label))
    return problem("the gauge is too unsure to tell anything", "its step and repeatability");
  if (!of.warm) return std::nullopt;
  for (const double temperature : {of.warm->tire, of.warm->outside})
    if (!(temperature >= kFreezing - 60.0 && temperature <= kFreezing + 150.0))
      return problem("no tire is that cold or hot", "-60 to 150 degrees Celsius");
  if (!(of.warm->sd >= 0.0 && of.warm->sd <= 50.0))
    return problem("the temperatures are too unsure to tell anything", "0 to 50 K");
  return std::nullopt;
}

}  // namespace

double pressure_at(double gauge_pressure, double temperature, double other_temperature) {
  return (gauge_pressure + kAtmosphere) * other_temperature / temperature - kAtmosphere;
}

Result<TirePressure> tire_pressure(const TirePressureReading& of) {
  if (auto wrong = wrong_with_pressure(of)) return *wrong;
  TirePressure out;
  Scatter scatter = of.gauge;
  double cold = of.found;
  if (of.warm) {
    cold = pressure_at(of.found, of.warm->tire, of.warm->outside);
    const double share_left = of.warm->outside / of.warm->tire;
    scatter.sd *= share_left;
    const double by_temperature =
        (of.found + kAtmosphere) / of.warm->tire * share_left * of.warm->sd;
    scatter = scatter_of_sum(scatter, Scatter{by_temperature, std::nullopt});
  }
  out.cold = interval_about(cold, scatter);
  const auto share = [&](double pressure) { return pressure / of.label - 1.0; };
  out.deviation = {share(cold), share(out.cold.low), share(out.cold.high)};
  return out;
}

}  // namespace perrev
