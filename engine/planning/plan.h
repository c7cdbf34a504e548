// What to do next in a case, why, and how it is expected to go on.
//
// Minutes are expected ones from now to a vehicle that is right, wrong repairs and the drives that
// show them included. They are upper estimates, each step's its own: a question that is put first
// for what it tells (look_ahead.h) may show more minutes than a step behind it.
#pragma once

#include <string>
#include <vector>

#include "engine/planning/look_ahead.h"
#include "engine/planning/planner.h"

namespace perrev {

// What one outcome of a step would do.
struct PlannedOutcome {
  double probability = 0.0;
  std::vector<double> causes_after;  // of Plan::first, same order
};

struct PlannedStep {
  Choice::Kind kind = Choice::Kind::hand_on;
  int check = -1;            // index into RuleBase::checks
  std::vector<int> repairs;  // done together; empty with kind repair: only driven again
  double minutes = 0.0;   // of the step itself, with its set-up; of a repair with parts and proof
  double expected = 0.0;  // minutes to the end with this step first
  double cures = 0.0;     // repair: probability that the vehicle is right after it
  std::vector<PlannedOutcome> outcomes;  // check: most probable first
};

// Differences of less than that many minutes are not worth telling: the estimates are no better.
inline constexpr double kHardlyTold = 1.0;

struct Plan {
  std::vector<int> first;  // the causes that the outcomes speak of: the first three of the ranking
  std::vector<PlannedStep> next;  // best first; never empty
  std::vector<PlannedStep> path;  // the way on if each step shows what is most probable
  double expected = 0.0;          // minutes: the fewest of the steps
  double if_known = 0.0;          // minutes of somebody who knew the fault
  double repair_at_once = 0.0;    // minutes if nothing more were measured
  Held held;                      // what is taken to stand ready
};

// Steps listed: at most `listed`.
Plan plan_of(const Planner& planner, const CaseFacts& facts, const Ranking& ranking,
             const Offers& offers, const Held& held, std::size_t listed = 6);

// The first of Plan::next alone, in a fraction of the time.
PlannedStep first_step(const Planner& planner, const CaseFacts& facts, const Ranking& ranking,
                       const Offers& offers, const Held& held);

// A second fault: what may be wrong besides, when what `repair` cures is there.
struct StillOpen {
  int cause = -1;
  double probability = 0.0;  // given that something that the repair cures is there
};
// Most probable first, from `least` on.
std::vector<StillOpen> still_open_after(const RuleBase& base, const Ranking& ranking, int repair,
                                        double least = 0.05);

// What stands ready after the latest thing that road or bay entered and did not take back: its
// set-up, where all checks that learn it share one.
Held held_now(const Planner& planner, const CaseFile& file, const CaseFacts& facts);

}  // namespace perrev
