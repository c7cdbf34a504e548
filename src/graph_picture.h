// A graph in the DOT language laid out as SVG, by Graphviz, where the program was built with it.
#pragma once

#include <string>

#include "engine/result.h"

namespace perrev {

// Safe to call from several threads. Says plainly that this build makes no SVG where it was built
// without Graphviz.
Result<std::string> svg_of_dot(const std::string& dot);

}  // namespace perrev
