#include "tests/fuzz/ranking_law.h"

#include <algorithm>

namespace perrev::fuzz {

std::string broken_ranking(const Ranking& ranking) {
  double sum = ranking.not_listed + ranking.nothing_left, most = 0.0;
  for (const Ranked& each : ranking.causes) {
    sum += each.alone;
    most = std::max(most, each.probability);
    if (!(each.probability >= each.alone - 1e-12) || !(each.alone >= 0.0))
      return "a probability that is none";
  }
  for (const RankedPair& pair : ranking.pairs) sum += pair.probability;
  // Pairs below 1e-4 are not told one by one.
  const double n = static_cast<double>(ranking.causes.size());
  if (!(sum <= 1.0 + 1e-9) || !(sum >= 1.0 - 1e-4 * n * n / 2 - 1e-9) || !(most <= 1.0 + 1e-9))
    return "probabilities that do not sum to one";
  return "";
}

}  // namespace perrev::fuzz
