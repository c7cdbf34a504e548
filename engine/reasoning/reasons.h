// Why a cause stands where it stands: one line of evidence a group of facts, in decibans.
//
// A weight of evidence is 10 log10 of a likelihood ratio (I. J. Good), here always against
// `not_listed`, so that weights are fixed, do not depend on order and add up exactly:
//     10 log10 (P(c | E) / P(not listed | E)) = prior + sum of the weights.
#pragma once

#include <string>
#include <vector>

#include "engine/reasoning/ranking.h"

namespace perrev {

struct Reason {
  std::size_t round = 0;
  int cause = -1;  // whose group it is: the cause, or nothing_left after its repair
  int group = -1;  // of AnswerModel::groups(cause); -1 for a provider
  const Provider* provider = nullptr;
  double weight_decibans = 0.0;
};

struct Reasons {
  int cause = -1;
  double prior_decibans = 0.0;   // of the single cause against not_listed
  std::vector<Reason> evidence;  // in the order of rounds and facts; nothing of weight exactly 0
};

Reasons reasons_for(const Reasoner& reasoner, const CaseFacts& facts, int cause);
// Of some, in their order; `ranking` is that of the facts.
std::vector<Reasons> reasons_of(const Reasoner& reasoner, const CaseFacts& facts,
                                const Ranking& ranking, const std::vector<int>& causes);
// Of all causes, in the order of the rule base.
std::vector<Reasons> all_reasons(const Reasoner& reasoner, const CaseFacts& facts);

// A reason in words. `rules` are the rules that were true; or, against, those that were not.
struct ReasonWords {
  std::vector<std::string> facts;   // ids, as asked
  std::vector<std::string> values;  // as answered, same order
  std::vector<int> rules;
  std::vector<std::string>
      origins;  // of the rules, and of the limits that readings were held against
  std::string because;
};
ReasonWords words_of(const Reasoner& reasoner, const CaseFacts& facts, const Reasons& of,
                     const Reason& reason, Units units = Units::us);

enum class CauseState { confirmed, likely, open, excluded };
std::string name_of(CauseState state);
// confirmed: a check showed it and no repair has cured it since. excluded: it cannot be on this
// vehicle.
CauseState state_of(const RuleBase& base, const CaseFacts& facts, const Ranked& ranked);

}  // namespace perrev
