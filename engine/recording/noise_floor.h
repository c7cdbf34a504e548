// What noise there is where a line stands, told by its surroundings.
#pragma once

#include <cstddef>
#include <vector>

namespace perrev {

// Lines that may be counted; not those at the ends, nor where a tone stands.
using Usable = std::vector<char>;

// The noise under a density that was averaged: a parabola through the logarithms of the lines to
// both sides, its own left out, so that neither slope nor bend of coloured noise matters; 0 at the
// ends, where there is too little to one side.
std::vector<double> noise_floor(const std::vector<double>& density, const Usable& usable);

// Mean over the lines about each, those left out to which a tone on it would spread; 0 where there
// are too few of them, or none above. Values that have no slope are wanted: over a floor.
std::vector<double> surroundings(const std::vector<double>& values, const Usable& usable);

// Lines to each side that a tone under Hann's window spreads to, and where its surroundings end.
inline constexpr std::size_t kSpread = 3, kSurroundings = 40;

}  // namespace perrev
