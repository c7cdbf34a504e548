// The shipped rule base, for what it computes.
#pragma once

#include "engine/knowledge/rule_base.h"
#include "tests/engine/planning/cut_models.h"

namespace perrev::testing {

inline const PhysicsBook& shipped_physics() { return shipped_rules().physics; }

inline constexpr double kMph = 0.44704;       // m/s
inline constexpr double kOunce = 28.3495e-3;  // kg
inline constexpr double kPound = 4.44822;     // N

}  // namespace perrev::testing
