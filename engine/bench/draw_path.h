// The decision graph drawn: checks, gates, ends, and the conditions on the edges between them.
#pragma once

#include "engine/bench/draw.h"
#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

struct DrawnPart {
  std::vector<int> around;  // vertices (PathEdge); empty: the whole path
  int near = 1;             // edges away from them; the start and the ends lead no further
  std::string title;
};

// Vertices of the path that have to do with a cause (checks that show it), a fact (checks that
// learn it, both ends of edges that read it, gates that ask it), a check.
std::vector<int> vertices_about_cause(const RuleBase& base, int cause);
std::vector<int> vertices_about_fact(const RuleBase& base, int fact);

// With `facts` the walk of a case: what is done, what is offered now, which gates are passed, which
// conditions hold.
Drawing draw_path(const RuleBase& base, const DrawnPart& part, const CaseFacts* facts, Units units);

}  // namespace perrev
