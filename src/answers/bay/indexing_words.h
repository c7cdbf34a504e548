// What the re-seating check found, in words, numbers, a picture and facts. Internal to this folder.
#pragma once

#include <string_view>
#include <vector>

#include "engine/shopmath/indexing.h"
#include "src/answers/bay/bay_tool.h"

namespace perrev {

struct IndexedKind {
  std::string_view field, sd_field, noun;
  Dimension dimension;
  double seating_sd;  // where two mountings are all there is: from memory
  double step_sd;     // of the steps of the usual gauge: readings that agree say no more
};

struct IndexedWheel {
  const IndexedKind* kind = nullptr;
  bool on_hub = false, from_valve = false;
  bool one_side = false;  // imbalance of one side of two
  std::optional<int> studs;
  std::vector<Mounting> mountings;
  Indexing found;
};

void say_indexing(const IndexedWheel& wheel, const BayContext& context, BayResult& out);

}  // namespace perrev
