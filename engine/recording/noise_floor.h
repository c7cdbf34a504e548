// What noise there is where a line stands, told by its surroundings.
#pragma once

#include <cstddef>
#include <vector>

namespace perrev {

// Lines that may be counted; not those at the ends, nor where a tone stands.
using Usable = std::vector<char>;

// The noise under a density that was averaged: mean of its logarithm over the lines near by, the
// same to both sides, so that a slope does not matter; 0 where there is nothing to go by.
std::vector<double> noise_floor(const std::vector<double>& density, const Usable& usable);

// Mean over the lines to both sides of each, those left out to which a tone on it would spread;
// 0 where none of them is usable.
std::vector<double> surroundings(const std::vector<double>& values, const Usable& usable);

// Lines to each side that a tone under Hann's window spreads to, and where its surroundings end.
inline constexpr std::size_t kSpread = 3, kSurroundings = 40;

}  // namespace perrev
