// The simulator of the shipped rules, made once.
#pragma once

#include "engine/bench/synthetic_complaint.h"
#include "tests/engine/planning/cut_models.h"

namespace perrev::testing {

inline const Simulator& simulator() {
  static const Simulator made(shipped_rules());
  return made;
}

}  // namespace perrev::testing
