// The columns of blocks, put one after the other and used up from the front.
#pragma once

#include "engine/recording/samples.h"

namespace perrev {

// The rows of `from` after those of `to`, whose time and rate stay.
void append(EvenBlock& to, const EvenBlock& from);
void drop_first(EvenBlock& block, std::size_t rows);

}  // namespace perrev
