// A reference case seen by two rule bases: what comes otherwise, and by which rules.
//
// Causes, checks and facts are compared by their ids, so the two rule bases may differ in anything.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/bench/judge.h"

namespace perrev {

// A reference case as one rule base reads it.
struct CaseSide {
  const Planner& planner;
  const CaseFile& file;
  const CaseFacts& facts;
  const Expectation& expected;
};

// How high a cause stands.
struct Placed {
  std::string cause;  // its id, not_listed or nothing_left
  double probability = 0.0;
  std::size_t rank = 0;  // from 1; 0 of those two
};

// What a rule base makes of a case.
struct CaseView {
  TestedCase tested;
  std::vector<Placed> truth;       // of Expectation::truth; where that is empty, one
  Placed first;                    // the first cause
  std::string next;                // step_name()
  std::vector<std::string> stops;  // facts, by id
};

CaseView view_of(const std::string& name, const CaseSide& side);

// Something that weighs otherwise for `CaseChange::subject` against `CaseChange::rival`.
struct Moved {
  std::string name;       // a rule, a provider, facts; empty: how usual it is
  double decibans = 0.0;  // after less before; above 0: for the subject
};

struct CaseChange {
  CaseView before, after;  // unreadable: `tested.problems` alone
  double size = 0.0;       // the greatest change of a probability of `truth`
  bool breaks = false;     // it held, and holds no more
  bool mended = false;     // the other way round
  // More than probabilities: a rank, the first, the next check, a stop, ...
  bool otherwise = false;
  // Where a probability moved: whose weight was looked at, against whose (a cause or not_listed),
  // and the three that moved most.
  std::string subject, rival;
  std::vector<Moved> moved;
};

// A side that cannot read the case has problems in place of a view. `before` and `after` of one
// case file.
CaseChange case_change(const CaseView& before, const CaseView& after);
// Says why; both sides could read it.
void explain(CaseChange& change, const CaseSide& before, const CaseSide& after);

// Broken ones first, then the largest change, then by name.
void worst_first(std::vector<CaseChange>& changes);

}  // namespace perrev
