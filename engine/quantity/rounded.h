// A quantity for people, to three digits in its usual unit: a threshold set in one unit and shown
// in another is no exact number.
#pragma once

#include <string>

#include "engine/quantity/quantity.h"

namespace perrev {

std::string show_rounded(double si, Dimension dimension, Units units);

}  // namespace perrev
