// A drawing asked for by names: which graph, and around which one thing of the rule base.
#pragma once

#include <string>

#include "engine/bench/draw_evidence.h"
#include "engine/result.h"

namespace perrev {

struct DrawRequest {
  std::string graph = "path";              // or "evidence"
  std::string cause, family, fact, check;  // at most one of them; none: the whole
  int near = -1;                           // of the path: edges away from that one; -1: not said
};

// Problems for a name that the rule base does not have, and where nothing can be drawn of it.
Result<Drawing, Problems> draw_requested(const EvidencePen& pen, const DrawRequest& request);

}  // namespace perrev
