// A graph of the rule base as an answer of the server: laid out where Graphviz is, so not in a
// page.
//
//   drawing     {graph?, cause? | family? | fact? | check?, near?, case?, units?}
//               as `rules draw --format svg`: title, legend (lines), shapes, lines (how many), svg
#pragma once

#include "src/answers/asked.h"

namespace perrev {

Answered drawing_answer(const Asked& asked);

}  // namespace perrev
