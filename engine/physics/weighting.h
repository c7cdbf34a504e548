// How much vibration of a frequency counts for people: frequency weightings.
//
// Transfer functions of ISO 8041-1 (parameters as in ISO 2631-1:1997 Annex A and ISO 5349-1:2001):
// band limits, acceleration-velocity transition, upward step.
#pragma once

#include <complex>
#include <optional>
#include <string_view>

namespace perrev {

enum class Weighting { wk, wd, wc, we, wj, wb, wm, wh };

// "wk", ...; empty for any other word.
std::optional<Weighting> weighting_named(std::string_view name);

// At `hz` above 0; dimensionless.
std::complex<double> weighting_response(Weighting weighting, double hz);
// Its magnitude.
double weighting_gain(Weighting weighting, double hz);

}  // namespace perrev
