// What a reference case says must come of it: its `reference`, read against the rule base.
//
//     "reference": {
//       "about":  why it must come so (required),
//       "true":   [cause, ...]: what was wrong with the vehicle; may be empty (required),
//       "rank":   each true cause stands at this rank or above; 1 unless said,
//       "not_above": {cause: probability},        "every_cause_at_most": probability,
//       "not_listed_first": true,                 "nothing_left_first": true,
//       "stops":  [fact, ...]: exactly these stops hold; none unless said,
//       "state":  {cause: confirmed | likely | open | excluded},
//       "next":   check or [check, ...]: the planner puts one of them first,
//       "known_gap": why the case fails for now: it may, and when it no longer does that is told
//     }
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engine/casefile/casefile.h"
#include "engine/reasoning/reasons.h"

namespace perrev {

struct Expectation {
  std::string about;
  std::string known_gap;   // empty: none
  std::vector<int> truth;  // causes
  int rank = 1;
  std::vector<std::pair<int, double>> not_above;  // cause, probability
  std::optional<double> every_cause_at_most;
  bool not_listed_first = false;
  bool nothing_left_first = false;
  std::vector<int> stops;                          // facts, sorted
  std::vector<std::pair<int, CauseState>> states;  // by cause
  std::vector<int> next;                           // checks
};

// All that is wrong in it is told, each with its place: unknown keys, causes, facts and checks,
// values of the wrong kind, a case that says nothing that could fail.
Result<Expectation, Problems> read_expectation(const CaseFile& file, const RuleBase& base);

}  // namespace perrev
