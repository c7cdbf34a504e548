// The next step by looking ahead: check, repair or hand on, whichever leaves the fewest expected
// minutes to a vehicle that is right.
//
// Each choice is followed through its outcomes for a number of steps, only the best few at each,
// and what lies beyond is taken from ExpectedCost. A repair and then a check is one of the orders
// looked at, so that a check is not taken before a repair that is better first (Langseth and Jensen
// 2003, their condition for asking). It looks one step deeper as long as that stays within a budget
// of leaves: small problems are searched nearly through, large ones two steps deep.
//
// A question that costs next to nothing seldom changes what is done next, though many of them
// together do, and no look ahead reaches that far. Such checks are therefore weighed by what they
// tell: a bit is worth what not knowing costs now, (expected minutes - expected minutes if the
// fault were known) / entropy. One that is worth more than its minutes is asked first, and nothing
// is searched further, unless there are so few checks that a search reaches their end.
//
// The same model gives the same choice everywhere: no clock is read.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/planning/decision_model.h"

namespace perrev {

struct Choice {
  enum class Kind { check, repair, hand_on };
  Kind kind = Kind::hand_on;
  int index = -1;        // into DecisionModel::checks or repairs
  double minutes = 0.0;  // expected, from now to the end, with this first
};

struct LookAheadLimits {
  int steps = 3;               // at most
  std::size_t beam = 6;        // choices followed further, at each step
  std::size_t leaves = 20000;  // goes one step deeper only while it takes fewer
  bool price_questions = true;
};

// Where a plan stands within a model.
struct Outlook {
  std::vector<double> mass;  // by hypothesis; sums to one
  Held held;
  std::vector<char> done;  // by DecisionModel::checks
};

// At the beginning: nothing of the model done.
Outlook outlook_of(const DecisionModel& model);

// What may be done now, best first; ties go to checks before repairs, then to what stands first in
// the model. Never empty: the vehicle can be handed on. Only the first `beam` are followed; what
// stands behind them is known one step deep.
std::vector<Choice> choices_at(const DecisionModel& model, const Outlook& outlook,
                               const LookAheadLimits& limits = {});

// The question that tells most a minute of those that are worth their minutes, with what is
// expected once it is asked; nothing when none is.
std::optional<Choice> worth_asking(const DecisionModel& model, const Outlook& outlook);

}  // namespace perrev
