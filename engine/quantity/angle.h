// Angles in radians: a turn and a degree of it.
#pragma once

namespace perrev {

inline constexpr double kTurn = 6.283185307179586;
inline constexpr double kDegree = kTurn / 360.0;

}  // namespace perrev
