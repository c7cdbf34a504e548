// Balancing a shaft in the car from trial runs, readings with phase: influence coefficients.
//
// Weights are moments, kg m, at places as in vectors.h; readings are vectors in one unit (any of
// vibration), their phase counted in the same sense as the places of weights. Every run is taken
// at the same speeds, in the same order. Reading = what is there without weights + sum over planes
// of influence times weight, for each pickup at each speed. Influences come from all runs by least
// squares; the weights are those that leave the least sum of squares of readings, over pickups and
// speeds: T. P. Goodman, A least-squares method for computing balance corrections, J. Eng. Ind. 86
// (1964). A spin that checks the answer is one more run: put it in and ask again.
#pragma once

#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

struct PhaseRun {
  std::vector<Vector> weights;   // on the shaft in this run, one for each plane; 0: none
  std::vector<Vector> readings;  // one for each pickup and speed
};

struct ShaftCorrection {
  std::vector<VectorEstimate> weights;  // all that belongs on the shaft, in place of trial weights
  bool scatter_known = false;  // false: nothing tells how well readings repeat, no intervals
  std::vector<std::vector<Vector>> influence;  // [reading][plane], reading per kg m
  std::vector<Vector> before;                  // readings without weights
  std::vector<Vector> after;                   // readings to be expected with the correction
  // Trial weights that changed every reading by less than 30 % and 30 degrees: the answer hangs on
  // small differences (common practice).
  std::vector<std::size_t> weak_planes;
  bool planes_alike = false;  // two planes act nearly as one: large weights against one another
};

// `sd`: standard deviation of each component of a reading; else what repeated runs say.
Result<ShaftCorrection> balance_shaft(const std::vector<PhaseRun>& runs,
                                      const std::optional<double>& sd);

}  // namespace perrev
