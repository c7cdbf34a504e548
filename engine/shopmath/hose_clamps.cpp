#include "engine/shopmath/hose_clamps.h"

#include <algorithm>
#include <cmath>

#include "engine/shopmath/two_planes.h"

namespace perrev {

Result<ClampPlaces> clamp_places(Vector wanted, double screw, double radius) {
  const auto arm = weight_radius(radius);
  if (!arm.ok()) return arm.error();
  if (!(screw > 0.0)) return problem("a clamp's screw weighs nothing", "its mass, above zero");
  const double share = std::abs(wanted) / (2.0 * screw * radius);
  const double half = std::acos(std::min(1.0, share)), middle = std::arg(wanted);
  ClampPlaces out;
  out.first = angle_of(vector_at(1.0, middle - half));
  out.second = angle_of(vector_at(1.0, middle + half));
  out.enough = share <= 1.0 + 1e-9;
  return out;
}

}  // namespace perrev
