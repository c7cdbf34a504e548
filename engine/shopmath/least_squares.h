// Readings that are linear in what is looked for: least squares (Eigen, kept inside the .cpp).
#pragma once

#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

struct LinearFit {
  std::vector<double> values;                   // what was looked for
  std::vector<std::vector<double>> covariance;  // of `values`, for readings of variance 1
  std::vector<double> residuals;                // reading less what fits, in the order given
  std::vector<double> leverage;                 // 0..1: the share of a reading in its own fit
  int freedom = 0;                              // readings less values
  double rms = 0.0;                             // sqrt(sum of squares / freedom); 0 without freedom

  // What is known beforehand; else what the residuals say. None where neither is there.
  std::optional<Scatter> scatter(const std::optional<double>& known_sd) const;
  // Of two values that are the components of a vector.
  VectorEstimate vector(std::size_t x, std::size_t y, const Scatter& scatter) const;
};

// One row of factors for each reading, all of one length. A problem where the rows do not settle
// every value, or are fewer than those.
Result<LinearFit> least_squares(const std::vector<std::vector<double>>& rows,
                                const std::vector<double>& readings);

}  // namespace perrev
