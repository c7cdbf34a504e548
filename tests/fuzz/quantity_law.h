// What holds of a number with a unit, whatever a person types: the law of the fuzz target.
//
// An input is the text. It is read against every dimension, as a value, as a prompt's and as a
// range.
#pragma once

#include <string>
#include <string_view>

namespace perrev::fuzz {

// What breaks the law; empty where nothing does. A value is finite, below zero only where that
// makes sense, and shown in either system reads as the same again, as exactly as it is shown; a
// range rises; a refusal is well told and says what would be right.
std::string broken_quantity_law(std::string_view text);

// Whether it is a value of some dimension.
bool quantity_comes_through(std::string_view text);

}  // namespace perrev::fuzz
