// Vectors as if they had been read.
#pragma once

#include <optional>

#include "engine/shopmath/vectors.h"

namespace perrev::testing {

// Each component with a standard deviation of its own, known or learned.
inline VectorEstimate read_as(Vector value, double sd,
                              std::optional<double> freedom = std::nullopt) {
  return {value, 1.0, 0.0, 1.0, {sd, freedom}};
}

inline VectorEstimate exact(Vector value) { return {value, 0.0, 0.0, 0.0, {}}; }

}  // namespace perrev::testing
