// Kinds of faults as people speak of them: words, units of their sizes, what to beware of.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/physics/physics_book.h"
#include "engine/quantity/quantity.h"
#include "engine/result.h"

namespace perrev {

// What a fault of a kind turns with, how often it shakes in a turn (0: as the engine fires) and
// when, unless it is said.
struct UsualWay {
  const char* source;
  double order;
  ShakesWhile when;
};
UsualWay usual_way(FaultKind kind);

// Whether a fault of the kind can turn with that part: a wheel's with no other than the tire.
bool can_turn_with(FaultKind kind, std::string_view source);

std::optional<FaultKind> fault_kind_named(std::string_view name);
std::vector<std::string> fault_kind_names();
// "imbalance at the rim: g, oz"
std::string about(FaultKind kind);
// "1 oz of imbalance at the rim"
std::string words_of(FaultKind kind, double size, Units units);
// "1 oz"
std::string size_words(FaultKind kind, double size, Units units);
// SI; refused: nothing, and more than a vehicle can have.
Result<double> read_fault_size(FaultKind kind, std::string_view text, Units units);
double largest_of(FaultKind kind);
// What to beware of before a fault of this size is driven; empty where nothing.
std::string danger_of(FaultKind kind, double size);

}  // namespace perrev
