// Two parts, one turned on the other, and their sum read at each turn: which share turned along?
//
//     U_k = A + R e^(j phi_k)
//
// A stays (an adapter, a hub, a rim), R turns (a wheel, a tire), phi_k is how far it is turned at
// reading k. Linear in the four components of A and R, so least squares over any readings; two
// readings solve it exactly: R = (U1 - U2) / (1 - e^(j phi)), A = U1 - R (ISO 21940-14, index
// balancing). Angles in radians, towards where the dial's numbers grow; vectors in the unit of the
// readings.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

// From which mark places were counted: one on the part that stays (the balancer's shaft, the valve
// of a rim whose tire is turned) or one on the part that turns (the wheel's valve on a balancer, a
// chalk line on the tire).
enum class CountedFrom { staying, turning };

struct TurnedReading {
  double turn = 0.0;
  Vector read;
  double widening = 1.0;  // standard deviation, as a multiple of an ordinary reading's
};

// Both parts, with how their uncertainties hang together.
struct TurnedParts {
  using Gradient = std::array<double, 4>;

  Vector stays, turns;
  // Of (stays x, y, turns x, y), for readings of standard deviation 1.
  std::array<Gradient, 4> covariance{};
  Scatter scatter;
  int freedom = 0;    // readings' components less four
  double rms = 0.0;   // what the readings say of their scatter; 0 without freedom
  bool torn = false;  // they scatter more than they should: past the 99 % point of what is known

  VectorEstimate staying() const;
  VectorEstimate turning() const;
  // What will be read with the one turned by `turn` on the other, counted from the staying mark.
  VectorEstimate sum_at(double turn) const;
  // Sum and difference of the amounts: the most and the least that any turn can read.
  Interval most() const;
  Interval least() const;
  // The turn of the least, -pi up to pi, and half of its 95 % interval: pi where it is not known.
  double turn_of_least() const;
  double turn_half_width() const;
};

// A problem where the turns are all one, where a turn is a whole one or more, or where nothing says
// how far the readings scatter: `known` says it, or three readings do.
Result<TurnedParts> split_turned(const std::vector<TurnedReading>& readings, CountedFrom from,
                                 const std::optional<Scatter>& known);

// Of parts that were read apart, each by itself, both counted as they are mounted now.
TurnedParts parts_read_apart(const VectorEstimate& stays, const VectorEstimate& turns);

}  // namespace perrev
