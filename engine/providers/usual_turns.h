// How fast the parts of typical vehicles turn: what stands in where a case does not know its own.
#pragma once

#include <string_view>

#include "engine/physics/physics_book.h"

namespace perrev {

// A frequency or a ratio with the standard deviation of its natural logarithm.
struct Rate {
  double value = 1.0;
  double spread = 0.0;
};
// The product of two that have nothing to do with each other.
Rate times(const Rate& a, const Rate& b);

// Wheel: turns a metre of road. The others: turns for one of the wheel. From memory.
struct UsualTurns {
  Rate wheel{0.5, 0.06};
  Rate shaft{3.6, 0.12};
  Rate motor{9.5, 0.15};
};
// Those of the kind of vehicle, by its id; of all kinds together where the book has none.
UsualTurns usual_turns(const PhysicsBook& book, std::string_view kind);

}  // namespace perrev
