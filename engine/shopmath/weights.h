// Correction weights of the sizes there are, at the places there are, and what they leave.
//
// Masses kg, radii and positions m, angles rad, moments kg m, couples kg m2. The choice of sizes
// and places tries every weight of one plane with the neighbours of what the other plane then
// wants: a weight too heavy in one plane can be made up for in the other, and rounding each plane
// for itself may leave more. What passes goes before what does not, then the least sum of the
// squares of static part and couple, each in units of its limit, then the least mass.
#pragma once

#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/two_planes.h"

namespace perrev {

inline constexpr double kOunce = 0.028349523125;  // avoirdupois, exact by definition
inline constexpr double kMostWeight = 0.080;      // in one plane: common practice

// Sizes there are, rising, without zero: `step` and its multiples up to `most`.
std::vector<double> sizes_of(double step, double most = kMostWeight);
// Segments of one size that make a weight.
int segments_in(double weight, double segment);

struct CorrectionPlane {
  Plane at;
  std::vector<double> sizes;  // rising; empty: any mass
  double angle_step = 0.0;    // places there are, counted from the mark; 0: any place
};

struct PlacedWeight {
  std::size_t plane = 0;
  double mass = 0.0, angle = 0.0;
};

// What is let pass, and the place couple is counted about.
struct BalanceLimits {
  double static_moment = 0.0;
  double couple = 0.0;
  double about = 0.0;
};

struct WeightPlan {
  std::vector<PlacedWeight> weights;  // in the order of the planes; none of no mass
  Unbalance left;
  bool beyond_sizes = false;  // a plane asks for more than its largest weight
};

// One plane: the static part goes, and couple stays or grows. A last resort; say so. Two planes:
// both go.
Result<WeightPlan> plan_weights(const Unbalance& of, const std::vector<CorrectionPlane>& planes,
                                const BalanceLimits& limits);

// One weight as two at given places less than half a turn apart that enclose it.
struct SplitWeight {
  double first = 0.0, second = 0.0;  // exact masses
  double first_size = 0.0, second_size = 0.0;
  Vector left;  // mass still wanted there with the real sizes: exact less real
};
Result<SplitWeight> split_weight(double mass, double angle, double first, double second,
                                 const std::vector<double>& sizes);
// The two spokes beside an angle, of `count` spokes at even distances, one of them at `one`.
std::pair<double, double> spokes_beside(double angle, int count, double one);

}  // namespace perrev
