#include "engine/shopmath/rotor.h"

#include <cmath>

#include "engine/quantity/angle.h"
#include "engine/quantity/quantity.h"
#include "engine/shopmath/extremes.h"
#include "engine/shopmath/studs.h"

namespace perrev {
namespace {

// Bounds of what a road vehicle has (ours, wide).
constexpr double kThinnestRotor = 3e-3, kThickestRotor = 80e-3;
constexpr double kMostVariation = 2e-3, kFarthestBelow = 10e-3;
constexpr double kNearestDial = 0.02, kFarthestDial = 0.5;

std::string rotor_text(double length) { return show_number(length * 1000.0) + " mm"; }

std::optional<Problem> wrong_minimum(double minimum, double thinnest) {
  const std::string right = "write the least thickness that is stamped on the rotor";
  if (!(minimum >= kThinnestRotor && minimum <= kThickestRotor))
    return problem("no rotor has a minimum thickness of " + rotor_text(minimum), right);
  if (thinnest < minimum - kFarthestBelow)
    return problem("the rotor reads " + rotor_text(minimum - thinnest) + " under its minimum",
                   right + "; look for a wrong unit");
  return std::nullopt;
}

std::optional<Problem> wrong_on_hub(const RotorOnHub& of) {
  for (const double radius : {of.radius_on_hub, of.radius_hub})
    if (!(radius >= kNearestDial && radius <= kFarthestDial))
      return problem("the dial cannot have stood " + rotor_text(radius) + " from the middle",
                     "write the distance of the dial from the middle of the hub, not across");
  if (of.radius_hub > of.radius_on_hub)
    return problem("the hub was read farther out than the rotor",
                   "look whether the two distances are swapped");
  if (of.studs < kFewestStuds || of.studs > kMostStuds)
    return problem("no hub has " + std::to_string(of.studs) + " studs", "write 3 to 12");
  return std::nullopt;
}

}  // namespace

Result<RotorThickness> rotor_thickness(const RotorThicknessReadings& of) {
  const auto fit = fit_turn({of.readings, of.angles, of.gauge, {}});
  if (!fit.ok()) return fit.error();
  for (const double reading : of.readings)
    if (!(reading >= kThinnestRotor && reading <= kThickestRotor))
      return problem("no rotor is " + rotor_text(reading) + " thick",
                     "write the whole thickness at each place, with the right unit");
  if (fit->spread.value > kMostVariation)
    return problem("the thickness varies by " + rotor_text(fit->spread.value) + ", beyond " +
                       rotor_text(kMostVariation),
                   "read every place at the same distance from the edge, off any ridge of rust");
  RotorThickness out;
  out.fit = *fit;
  out.variation = fit->spread;
  out.thinnest = lowest_of(of.readings, fit->scatter);
  if (!of.minimum) return out;
  if (const auto wrong = wrong_minimum(*of.minimum, out.thinnest.value)) return *wrong;
  out.wear = out.thinnest.low >= *of.minimum   ? RotorWear::above_minimum
             : out.thinnest.high < *of.minimum ? RotorWear::below_minimum
                                               : RotorWear::at_minimum;
  return out;
}

Result<RotorIndex> index_rotor(const RotorOnHub& of) {
  if (const auto wrong = wrong_on_hub(of)) return *wrong;
  RotorIndex out;
  out.hub = times(of.hub, of.radius_on_hub / of.radius_hub);
  out.own = difference(of.on_hub, out.hub);
  const std::vector<VectorEstimate> read{of.on_hub, out.hub};
  const auto factors_at = [](double turn) {
    return std::vector<Vector>{vector_at(1.0, turn), 1.0 - vector_at(1.0, turn)};
  };
  const auto rounded = [&](std::size_t i) {
    return std::round(std::abs(out.places[i].left.value) * 1e9);
  };
  for (int k = 0; k < of.studs; ++k) {
    const double turn = kTurn * k / of.studs;
    out.places.push_back({turn, blend(read, factors_at(turn))});
  }
  for (std::size_t i = 1; i < out.places.size(); ++i)
    if (rounded(i) < rounded(out.best)) out.best = i;
  out.gained = amount_apart(read, factors_at(0.0), factors_at(out.places[out.best].turn));
  return out;
}

}  // namespace perrev
