// A vector of the bay in words, numbers and pictures. Internal to this folder. Places count
// clockwise.
#pragma once

#include <string>

#include "engine/picture/dial.h"
#include "engine/shopmath/vectors.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

// "6 deg", whichever way.
std::string whole_degrees(double angle);
// "at 70 deg (2:30 o'clock), give or take 6 deg", or that no place is known.
std::string told_where(const VectorEstimate& of);

// Amount and place; no place where it is not known.
void add_vector(const std::string& id, const std::string& label, const VectorEstimate& of,
                Dimension dimension, BayResult& out);
DialArrow vector_arrow(const std::string& name, const VectorEstimate& of, Dimension dimension,
                       Units units);

}  // namespace perrev
