// Unbalance of a wheel or shaft: what is read in two planes, as static and couple, and back.
//
// Positions are m along the axis, growing outwards, from any one place; radii m; masses kg; moments
// (mass times radius) kg m; couples kg m2. Places are angles as in vectors.h. The static part is
// the sum of all moments. The couple is the sum of moments times their distance from a place along
// the axis: it says the same of a rotor wherever its static part is put only if it names that
// place. Terms and formulas as in ISO 21940-2 and handbooks of two-plane balancing.
#pragma once

#include <utility>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

// A place along the axis where weights go or readings are told.
struct Plane {
  double position = 0.0;
  double radius = 0.0;
};

// A problem with radii no weight of a wheel or shaft sits at (under 15 mm, over 1 m).
Result<double> weight_radius(double radius);

struct MassReading {
  double mass = 0.0;
  double angle = 0.0;
};
// The moment one reading tells, at the radius the balancer was told; a reading given as a moment is
// one at a radius of 1 m.
Result<VectorEstimate> moment_of(const MassReading& reading, double radius, const Gauge& gauge);
// The same plane read on several spins without a change (two or more): mean, and scatter learned
// from the spins. What sits in every spin (centring, a wrong radius) is not seen by it.
Result<VectorEstimate> moment_of(const std::vector<MassReading>& spins, double radius);

// All there is to know of a rigid rotor's unbalance, from two vectors read apart.
class Unbalance {
 public:
  // Moments read in planes at two positions.
  static Result<Unbalance> in_planes(const VectorEstimate& one, double at,
                                     const VectorEstimate& other, double other_at);
  // The static part, and the couple about the place `about`.
  static Unbalance static_and_couple(const VectorEstimate& static_part,
                                     const VectorEstimate& couple, double about);

  VectorEstimate static_part() const;
  VectorEstimate couple(double about) const;
  // What the same unbalance reads in two other planes, in their order. Each has its own interval;
  // the two are not independent.
  Result<std::pair<VectorEstimate, VectorEstimate>> moments_at(double first, double second) const;

  // With a known moment added at a position.
  Unbalance with(Vector moment, double position) const;

 private:
  // Static part and couple about zero as weighted sums of the two vectors.
  struct Sum {
    double first = 0.0, second = 0.0;
  };
  VectorEstimate sum(const Sum& of) const;
  VectorEstimate first_, second_;
  Sum static_, couple_;
  Vector added_static_, added_couple_;
};

}  // namespace perrev
