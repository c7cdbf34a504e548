#include "engine/recording/samples.h"

#include <algorithm>

namespace perrev {

std::size_t EvenBlock::size() const {
  std::size_t out = std::max(speed.size(), engine_hz.size());
  for (const std::vector<double>& axis : acceleration) out = std::max(out, axis.size());
  return out;
}

}  // namespace perrev
