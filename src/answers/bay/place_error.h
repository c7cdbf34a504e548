// How far off a place round the turn is read by eye, and what that makes of a reading.
//
// A chalk line or the valve is read to about 5 degrees either way, 19 times in 20: from memory. At
// an amount A that is an error of A times the angle across the reading, whatever the gauge shows:
// of 1.5 mm it is 0.13 mm. How far a part was turned counts as exact: marks that meet tell it, or
// studs. Internal to this folder.
#pragma once

#include <vector>

#include "engine/shopmath/turned.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// Field `place_sd`, rad; it has a usual value.
BayField place_sd_field();

// An amount and its place, each with its own standard deviation.
VectorEstimate vector_read(double amount, double place, double amount_sd, double place_sd);

// Of readings of standard deviation `sd` but for their places, one scatter for all. It is as wide
// in every direction as across, so that no interval is too narrow.
Scatter with_places(double sd, const std::vector<TurnedReading>& readings, double place_sd);

}  // namespace perrev
