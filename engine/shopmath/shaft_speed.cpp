#include "engine/shopmath/shaft_speed.h"

#include <cmath>
#include <optional>

#include "engine/physics/forces.h"

namespace perrev {
namespace {

bool lies_within(double value, double low, double high) { return value >= low && value <= high; }

std::optional<Problem> wrong_with_tube(const ShaftTube& tube) {
  if (!lies_within(tube.outer_diameter, 0.012, 0.3))
    return problem("no driveshaft is that thick or thin",
                   "12 to 300 mm (0.47 to 11.8 in) outside diameter");
  if (!(tube.wall > 0.0))
    return problem("the wall has no thickness", "the thickness of the tube's wall, above 0 mm");
  if (tube.wall > 0.5 * tube.outer_diameter)
    return problem("the wall is thicker than half of the outside diameter",
                   "the thickness of one wall; half of the diameter for a solid shaft");
  if (!lies_within(tube.length, 0.1, 5.0))
    return problem("no driveshaft is that long or short",
                   "0.1 to 5 m (4 to 197 in) between joint centres");
  if (tube.length < 5.0 * tube.outer_diameter)
    return problem("the shaft is too short for its diameter: it does not bend as a slender tube",
                   "a length of at least five diameters between joint centres");
  if (!lies_within(tube.elasticity, 1e9, 1e12))
    return problem("no material of shafts is that stiff or soft", "1 to 1000 GPa of elasticity");
  if (!lies_within(tube.density, 500.0, 20000.0))
    return problem("no material of shafts is that heavy or light", "500 to 20000 kg/m3");
  return std::nullopt;
}

double tube_speed(const ShaftTube& tube) {
  return critical_speed(tube.outer_diameter, tube.outer_diameter - 2.0 * tube.wall, tube.length,
                        tube.elasticity, tube.density);
}

}  // namespace

Result<double> critical_speed(const ShaftTube& tube) {
  if (auto wrong = wrong_with_tube(tube)) return *wrong;
  return tube_speed(tube);
}

Interval ShaftSpeed::share_at(double shaft_hz) const {
  return {shaft_hz / critical.value, shaft_hz / critical.high, shaft_hz / critical.low};
}

Result<ShaftSpeed> shaft_speed(const ShaftTube& tube, const Gauge& tape) {
  if (auto wrong = wrong_with_tube(tube)) return *wrong;
  const double half = Scatter{tape.sd(), std::nullopt}.half_width();
  if (!(half < 0.2 * tube.length))
    return problem("the length is not known well enough to say a speed",
                   "a length read to a fifth of itself, or better");
  const double speed = tube_speed(tube);
  const auto at = [&](double length) { return speed * std::pow(tube.length / length, 2); };
  ShaftSpeed out;
  out.critical = {speed, at(tube.length + half), at(tube.length - half)};
  out.safe = {kSafeShareOfCritical * out.critical.value, kSafeShareOfCritical * out.critical.low,
              kSafeShareOfCritical * out.critical.high};
  return out;
}

}  // namespace perrev
