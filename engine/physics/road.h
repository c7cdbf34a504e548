// Roads as ISO 8608 describes them: the roughness that a vibration is felt against.
//
// Displacement spectral density Gd(n) = Gd(n0) (n / n0)^-2 with n0 = 0.1 cycles/m.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace perrev {

enum class RoadClass { a, b, c, d, e, f, g, h };

// Gd(n0) in m3, geometric mean of the class (16e-6 for a).
double roughness_of(RoadClass road);
// m3 at `cycles_per_metre` above 0.
double displacement_density(double roughness, double cycles_per_metre);
// m2/Hz at `hz` when driven over at `speed` m/s.
double displacement_density_at(double roughness, double hz, double speed);
// (m/s2)2/Hz of the road's height as the tire meets it.
double acceleration_density_at(double roughness, double hz, double speed);

// Heights in m at `count` points `step` m apart: a sum of waves of random phase from
// `longest` to 2 steps, so that its density is Gd. The same seed gives the same road everywhere;
// the road repeats itself only after `count`, or `longest`, whichever is more.
std::vector<double> road_heights(double roughness, double step, std::size_t count,
                                 std::uint64_t seed, double longest = 100.0);

}  // namespace perrev
