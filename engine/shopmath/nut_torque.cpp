#include "engine/shopmath/nut_torque.h"

#include <algorithm>

namespace perrev {
namespace {

NutState nut_state(double share) {
  if (share <= 0.0) return NutState::missing;
  if (share < kLooseNut) return NutState::loose;
  if (share < kLowNut) return NutState::low;
  return share > kTightNut ? NutState::too_tight : NutState::sound;
}

}  // namespace

std::size_t WheelNuts::count_of(NutState state) const {
  return static_cast<std::size_t>(std::count(states.begin(), states.end(), state));
}

Result<WheelNuts> wheel_nuts(const std::vector<double>& readings, double stated) {
  if (!(stated >= 20.0 && stated <= 1000.0))
    return problem("no wheel nut is tightened to that",
                   "20 to 1000 N m, from the maker's service information");
  if (readings.size() < 3 || readings.size() > 12)
    return problem("no road wheel has that many nuts", "one reading of each nut, 3 to 12");
  WheelNuts out;
  double least = readings.front(), most = readings.front();
  for (const double reading : readings) {
    if (!(reading >= 0.0 && reading <= 4.0 * stated))
      return problem("a nut's torque is no reading of a torque wrench",
                     "0 for one that is missing or loose by hand, up to four times the stated");
    const double share = reading / stated, unsure = kWrenchDeviation * share;
    out.states.push_back(nut_state(share));
    out.below.push_back({1.0 - share, 1.0 - share - unsure, 1.0 - share + unsure});
    least = std::min(least, reading);
    most = std::max(most, reading);
  }
  // One wrench reads all of them too high or too low alike.
  const double spread = (most - least) / stated;
  out.spread = {spread, spread * (1.0 - kWrenchDeviation), spread * (1.0 + kWrenchDeviation)};
  return out;
}

}  // namespace perrev
