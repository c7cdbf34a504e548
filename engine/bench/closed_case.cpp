#include "engine/bench/closed_case.h"

#include <algorithm>
#include <cmath>

namespace perrev {

namespace {

constexpr double kWorstLoss = 20.0;

double loss(double probability) {
  return probability > 0.0 ? std::min(kWorstLoss, -std::log(probability)) : kWorstLoss;
}

}  // namespace

double log_loss(const Reasoner& reasoner, const ClosedCase& closed) {
  const Ranking ranking = rank(reasoner, closed.facts);
  if (closed.causes.empty()) return loss(ranking.not_listed);
  double sum = 0.0;
  for (const int cause : closed.causes) sum += loss(ranking.of(cause).probability);
  return sum / static_cast<double>(closed.causes.size());
}

}  // namespace perrev
