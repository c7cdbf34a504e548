// How well the ranking does on made-up complaints, beside the best that could be done.
//
// A line is a source and an order (line_name). Its probability is the sum over causes of
//     P(cause | case) x P(line | cause, what is known):
// for a cause that physics computes, the shares of its lines given what is felt, as the provider
// has them, times the density of the measured frequency; for another cause that has orders, the
// shares of the rule base alone. A cause without an order has the line "none".
#pragma once

#include <string>
#include <vector>

#include "engine/bench/synthetic_complaint.h"
#include "engine/providers/felt.h"
#include "engine/reasoning/ranking.h"

namespace perrev {

struct SyntheticScore {
  int cause = -1;               // the true one
  std::size_t line_place = 0;   // of the true line, from 1
  std::size_t cause_place = 0;  // of the true cause, among all of the rule base
  bool first_of_drawn = false;  // the true cause stands first among those that are drawn
  double said_first = 0.0;      // probability of the cause that stood first
  // Of the best possible:
  std::size_t best_line_place = 0, best_cause_place = 0;
  double best_first = 0.0;  // probability of its first cause
};

// Empty where the entries cannot be read against the rule base.
std::optional<SyntheticScore> score_complaint(const Simulator& simulator, const Reasoner& reasoner,
                                              const FeltProvider& felt,
                                              const SyntheticComplaint& complaint);

std::vector<LineShare> ranked_lines(const Reasoner& reasoner, const FeltProvider& felt,
                                    const CaseFacts& facts, const Ranking& ranking);

// Shares of complaints.
struct FamilyScore {
  std::string family;  // empty: all
  int complaints = 0;
  double line_first = 0.0, line_in_three = 0.0, best_line_first = 0.0, best_line_in_three = 0.0;
  double cause_first = 0.0, cause_in_three = 0.0, best_cause_first = 0.0, first_of_drawn = 0.0;
  double said_first = 0.0, best_first = 0.0;
};

struct ScoreReport {
  FamilyScore all;
  std::vector<FamilyScore> families;  // in the order of the rule base, those that were drawn
  // The family that falls farthest below the best for the cause, of those with at least 30
  // complaints; empty: none has.
  std::string worst;
};

ScoreReport score_report(const RuleBase& base, const std::vector<SyntheticScore>& scores);

}  // namespace perrev
