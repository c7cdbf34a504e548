// What holds of a tire designation, whatever a person types: the law of the fuzz target.
//
// An input is the text.
#pragma once

#include <string>
#include <string_view>

namespace perrev::fuzz {

// What breaks the law; empty where nothing does. What is accepted reads the same as its own
// designation and in small letters, with a diameter, a circumference, a load and a speed that a
// tire can have, in any state of wear and pressure; a refusal is well told and says what would be
// right.
std::string broken_tire_law(std::string_view text);

// Whether it is a tire.
bool tire_comes_through(std::string_view text);

}  // namespace perrev::fuzz
