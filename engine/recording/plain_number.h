// A number of a recording's text to a double, fast and rightly rounded.
//
// [+-]digits[.digits][e[+-]digits] with at most 19 digits in all is the double nearest to it; of
// longer ones the digits past the nineteenth are taken as zeros (1e-18 of the value). Whole numbers
// of 2^53 and a power of ten up to 10^22 are exact doubles, so one division rounds once (W. D.
// Clinger, PLDI 1990); longer ones are divided in 128 bits. No locale.
#pragma once

#include <cstdint>

namespace perrev {

// The part of it that few numbers need: `digits` x 10^power, rounded once.
double scaled_by_ten(std::uint64_t digits, int power);

// Past the number that begins at `at`, or `at` itself where none does. The bytes must end with one
// that is no part of a number, such as the line's end. `comma` is read as the point is.
const char* read_number(const char* at, char comma, double& value);

}  // namespace perrev
