#include "engine/physics/weighting.h"

#include <array>
#include <cmath>
#include <cstddef>

#include "engine/quantity/angle.h"

namespace perrev {
namespace {

constexpr double kNone = 0.0;  // a corner that this weighting has not

// Corner frequencies in Hz and resonance quotients of ISO 8041-1; f3 is f4 where there is one.
struct Corners {
  std::string_view name;
  double low, high;                 // band limits, Butterworth
  double transition, transition_q;  // from acceleration to velocity
  double step, step_q, stepped, stepped_q;
  double gain;
};

constexpr double kHandTransition = 100.0 / kTurn;
constexpr double kShipTransition = 1.0 / (0.028 * kTurn);

// In the order of Weighting.
constexpr std::array<Corners, 8> kCorners{{
    {"wk", 0.4, 100.0, 12.5, 0.63, 2.37, 0.91, 3.35, 0.91, 1.0},
    {"wd", 0.4, 100.0, 2.0, 0.63, kNone, kNone, kNone, kNone, 1.0},
    {"wc", 0.4, 100.0, 8.0, 0.63, kNone, kNone, kNone, kNone, 1.0},
    {"we", 0.4, 100.0, 1.0, 0.63, kNone, kNone, kNone, kNone, 1.0},
    {"wj", 0.4, 100.0, kNone, kNone, 3.75, 0.91, 5.32, 0.91, 1.0},
    {"wb", 0.4, 100.0, 16.0, 0.55, 2.5, 0.90, 4.0, 0.95, 1.024},
    // 10^-0.1 Hz; 10^0.8 and 10^3.1 Hz.
    {"wm", 0.7943282347242815, 100.0, kShipTransition, 0.5, kNone, kNone, kNone, kNone, 1.0},
    {"wh", 6.309573444801933, 1258.9254117941673, kHandTransition, 0.64, kNone, kNone, kNone, kNone,
     1.0},
}};

using Complex = std::complex<double>;

// 1 + s / (Q w) + (s / w)^2 at s = i w r.
Complex second_order(double r, double q) { return {1.0 - r * r, r / q}; }

}  // namespace

std::optional<Weighting> weighting_named(std::string_view name) {
  for (std::size_t i = 0; i < kCorners.size(); ++i)
    if (kCorners[i].name == name) return static_cast<Weighting>(i);
  return std::nullopt;
}

std::complex<double> weighting_response(Weighting weighting, double hz) {
  const Corners& at = kCorners[static_cast<std::size_t>(weighting)];
  const double butterworth = std::sqrt(0.5);
  const double over_low = hz / at.low;
  Complex response = at.gain * -over_low * over_low / second_order(over_low, butterworth);
  response /= second_order(hz / at.high, butterworth);
  if (at.transition != kNone) {
    const double r = hz / at.transition;
    response *= Complex(1.0, r) / second_order(r, at.transition_q);
  }
  if (at.step != kNone) {
    const double ratio = at.step / at.stepped;
    response *= ratio * ratio * second_order(hz / at.step, at.step_q) /
                second_order(hz / at.stepped, at.stepped_q);
  }
  return response;
}

double weighting_gain(Weighting weighting, double hz) {
  return std::abs(weighting_response(weighting, hz));
}

}  // namespace perrev
