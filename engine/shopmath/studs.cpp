#include "engine/shopmath/studs.h"

#include <cmath>
#include <string>

#include "engine/quantity/angle.h"

namespace perrev {

namespace {

constexpr double kRoundedBy = kTurn / 240.0;  // 1.5 degrees

std::string degrees_listed(const std::vector<double>& turns) {
  std::string out;
  for (std::size_t i = 0; i < turns.size(); ++i) {
    if (i > 0) out += i + 1 < turns.size() ? ", " : " or ";
    out += std::to_string(static_cast<int>(std::lround(turns[i] * 360.0 / kTurn)));
  }
  return out;
}

}  // namespace

Result<std::vector<double>> stud_turns(int studs) {
  if (studs < kFewestStuds || studs > kMostStuds)
    return problem("a wheel with that many studs is not known", "3 to 12 studs");
  std::vector<double> out;
  for (int i = 1; i < studs; ++i) out.push_back(kTurn * i / studs);
  return out;
}

Result<double> stud_turn(int studs, double turn) {
  const auto turns = stud_turns(studs);
  if (!turns.ok()) return turns.error();
  if (std::abs(turn) >= kTurn)
    return problem("a wheel is said to be turned by a whole turn or more",
                   "angles of less than a turn");
  const double step = kTurn / studs, nearest = step * std::round(turn / step);
  if (std::abs(turn - nearest) > kRoundedBy)
    return problem(std::to_string(studs) + " studs do not let the wheel turn by that angle",
                   degrees_listed(*turns) + " degrees");
  const double forward = nearest < 0.0 ? nearest + kTurn : nearest;
  return forward > kTurn - 0.5 * step ? 0.0 : forward;
}

Result<StudPlace> best_stud_place(const TurnedParts& parts, int studs) {
  const auto turns = stud_turns(studs);
  if (!turns.ok()) return turns.error();
  StudPlace best{0.0, parts.sum_at(0.0).amount()};
  for (const double turn : *turns) {
    const Interval amount = parts.sum_at(turn).amount();
    // The earlier of two that are alike: rounding must not choose.
    if (amount.value < best.amount.value * (1.0 - 1e-9)) best = {turn, amount};
  }
  return best;
}

}  // namespace perrev
