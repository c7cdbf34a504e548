// Where an interval stands against a limit.
#pragma once

#include "engine/shopmath/vectors.h"

namespace perrev {

enum class Standing { within, beyond, unsettled };

inline Standing standing(const Interval& of, double limit) {
  if (of.high <= limit) return Standing::within;
  return of.low > limit ? Standing::beyond : Standing::unsettled;
}

}  // namespace perrev
