// Two hose clamps round a shaft as a correction: their screws are the weights, and turning the
// screws apart makes the pair weigh less. Two equal moments split by an angle add up to
// 2 m r cos(half the angle), in the middle between them. Common practice.
#pragma once

#include "engine/result.h"
#include "engine/shopmath/vectors.h"

namespace perrev {

struct ClampPlaces {
  double first = 0.0, second = 0.0;  // of the two screws, rad, as in vectors.h
  bool enough = true;                // false: both at the wanted place still weigh too little
};

// `screw`: what one clamp's screw is heavier than the band it displaces, kg; `radius`: of the
// screw's middle from the axis, m; `wanted`: kg m.
Result<ClampPlaces> clamp_places(Vector wanted, double screw, double radius);

}  // namespace perrev
