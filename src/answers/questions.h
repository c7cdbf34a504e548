// What to ask for next, by one who sits at the write-up, on the road or in the bay: what
// `interview` and the page ask.
//
// What was begun is finished: the wheels that are left of a fact read at one of them. Then the
// customer's words, then what a drive hangs on (in the bay what lifts a stop), then what any drive
// and any arithmetic needs, then what the plan asks for, on the road and in the bay first what the
// check tells that was begun. Nothing is asked twice in a round, nothing that is known not to
// apply, and nothing at all in the bay once something is shown and no check before its repair would
// save minutes.
#pragma once

#include <optional>
#include <set>
#include <tuple>
#include <vector>

#include "engine/planning/planner.h"
#include "src/answers/open_case.h"

namespace perrev {

// A fact still to be asked for, at a place where it has places (index into places_of()).
struct Question {
  int fact = -1;
  int place = -1;
  bool operator<(const Question& o) const {
    return std::tie(fact, place) < std::tie(o.fact, o.place);
  }
  bool operator==(const Question& o) const { return fact == o.fact && place == o.place; }
};

// Where the asking stands. What was `skipped` counts as what this person cannot tell.
struct Asking {
  const Planner& planner;
  const OpenCase& open;
  const Ranking& ranking;
  Asker by;
  const std::set<Question>& skipped;
};

// Nothing when no question is worth its minutes.
std::optional<Question> next_question(const Asking& asking);

// Every question that is open to this person, each place of it: first what comes first, then what
// the plan asks for, then what tells something, then the rest in the order of the rule base.
std::vector<Question> all_questions(const Asking& asking);

// Whether a fact is weighed by the vehicle's arithmetic and not by rules.
bool is_computed(const Reasoner& reasoner, int fact);

// Why a question is asked whose answers move nothing by themselves.
inline constexpr const char* kComputedNote =
    "It is weighed by what turns how fast on this vehicle: tire size, ratios and speed.";
inline constexpr const char* kOnlyArithmeticNote =
    "It does not move the ranking by itself; the arithmetic of the vehicle needs it.";

}  // namespace perrev
