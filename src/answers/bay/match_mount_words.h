// What a tire and its rim come to, in words, numbers and a picture. Internal to this folder.
#pragma once

#include "engine/shopmath/match_mount.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

struct MatchedTire {
  MatchTerms terms;
  TurnedParts force;  // of as_force
  Match match;
  bool by_parts = false;       // tire and rim were read each by itself
  bool own_stiffness = false;  // it was told, not taken for granted
};

void say_match(const MatchedTire& of, const BayContext& context, BayResult& out);

}  // namespace perrev
