// Several places, each read once or more with one gauge: their means and how sure each sum of them
// is.
//
// Readings of one gauge scatter alike at every place: known beforehand by the gauge's step and
// repeatability, or learned from what readings of one place differ by (Student's t). Learned
// scatter is never below the step's own: readings that agree to the step say no more. One unit
// throughout, the caller's.
#pragma once

#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

struct ReadingGauge {
  double resolution = 0.0;              // one step of the scale
  std::optional<double> repeatability;  // sd of one place read again; none: learned from readings
};

struct PlaceMeans {
  std::vector<double> means;
  std::vector<double> shares;  // variance of each mean, for readings of variance 1
  Scatter of_one_reading;

  // The sum of the means, each times its weight: value, and its own standard deviation.
  double sum(const std::vector<double>& weights) const;
  Scatter scatter(const std::vector<double>& weights) const;
  Interval interval(const std::vector<double>& weights) const;
};

// A problem where a place has no reading, a reading is no number, or nothing says how they scatter.
Result<PlaceMeans> means_of_places(const std::vector<std::vector<double>>& places,
                                   const ReadingGauge& gauge);

// One vector read twice or more without a change between: their mean, and the scatter of a reading
// learned from both components. What sits in every reading alike is not seen by it.
Result<VectorEstimate> mean_of_vectors(const std::vector<Vector>& readings);

}  // namespace perrev
