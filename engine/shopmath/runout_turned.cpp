#include "engine/shopmath/runout_turned.h"

#include <cmath>

#include "engine/quantity/angle.h"

namespace perrev {
namespace {

// Less of a turn blows up what the dial scatters more than six times.
constexpr double kLeastTurn = 10.0 * kDegree;

}  // namespace

Result<TurnedRunout> runout_turned(const VectorEstimate& first, const VectorEstimate& second,
                                   double turn) {
  if (!std::isfinite(turn) || std::abs(std::remainder(turn, kTurn)) < kLeastTurn - 1e-9)
    return problem("the part was hardly turned", "turn it by one stud or more");
  const Vector turned = vector_at(1.0, turn), under = 1.0 - turned;
  const std::vector<VectorEstimate> read = pooled({first, second});
  const std::vector<Vector> of_part{1.0 / under, -1.0 / under};
  const std::vector<Vector> of_hub{-turned / under, 1.0 / under};
  TurnedRunout out;
  out.part = blend(read, of_part);
  out.hub = blend(read, of_hub);
  const Interval apart = amount_apart(read, of_part, of_hub);
  if (!stands_out(out.part) && !stands_out(out.hub)) return out;
  out.follows = apart.low > 0.0    ? RunoutFollows::part
                : apart.high < 0.0 ? RunoutFollows::hub
                                   : RunoutFollows::both;
  return out;
}

}  // namespace perrev
