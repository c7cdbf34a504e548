// The speed at which a driveshaft's tube begins to whip: its first bending critical speed.
//
//     f = (pi / 2) sqrt(E I / (m' L^4))
// of a slender tube between simple supports (Bernoulli-Euler; engine/physics/forces.h), m' its mass
// a length, L between the centres of its joints. Mounts that give lower it: what is said here is
// the highest it can be. Lengths in m, Hz, E in Pa, density in kg/m3. A problem where the numbers
// cannot be those of a driveshaft.
#pragma once

#include "engine/result.h"
#include "engine/shopmath/scatter.h"

namespace perrev {

struct TubeMaterial {
  double elasticity = 0.0, density = 0.0;
};
// Handbook values of the wrought alloys that shafts are drawn from.
inline constexpr TubeMaterial kSteelTube{206.8e9, 7850.0};
inline constexpr TubeMaterial kAluminiumTube{68.9e9, 2700.0};

struct ShaftTube {
  double length = 0.0;  // between the centres of its joints
  double outer_diameter = 0.0;
  double wall = 0.0;
  double elasticity = kSteelTube.elasticity;
  double density = kSteelTube.density;
};

Result<double> critical_speed(const ShaftTube& tube);

// Of the critical speed a shaft should never pass: common practice says 65 to 75 %.
inline constexpr double kSafeShareOfCritical = 0.75;

struct ShaftSpeed {
  Interval critical, safe;  // Hz; 95 %, by how the length was read
  // Of the critical speed at a speed of the shaft, 0 up.
  Interval share_at(double shaft_hz) const;
};

// `tape` is how the length reads. Exact: the speed falls steadily with the length.
Result<ShaftSpeed> shaft_speed(const ShaftTube& tube, const Gauge& tape);

}  // namespace perrev
