// From what is known to probabilities: exact Bayes over single causes, pairs and `not_listed`.
//
//     P(h | E) ~ prior(h) * product over rounds of P(what was seen in that round | what was present
//     in it)
//
// A repair opens a round: what it cures is gone from every hypothesis, and a single cause that is
// cured leaves `nothing_left`. Old answers stay with the faults that were there when they were
// given. Facts that last with the vehicle count once; in later rounds symptoms are weighed given
// them.
#pragma once

#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/reasoning/answer_model.h"
#include "engine/reasoning/pairs.h"
#include "engine/reasoning/provider.h"

namespace perrev {

// The compiled rule base: built once, then shared by all cases.
class Reasoner {
 public:
  // `providers` must outlive the reasoner.
  explicit Reasoner(const RuleBase& base, std::vector<const Provider*> providers = {});
  Reasoner(const Reasoner&) = delete;  // its pair model points into its answer model
  Reasoner& operator=(const Reasoner&) = delete;

  const RuleBase& base() const { return *base_; }
  const AnswerModel& answers() const { return answers_; }
  const PairModel& pairs() const { return pairs_; }
  const std::vector<const Provider*>& providers() const { return providers_; }
  // Null where the rules own the fact for every cause.
  const Provider* owner_of(int fact) const { return owner_[static_cast<std::size_t>(fact)]; }
  // Groups of the rules about the facts that a provider owns; in order of causes.
  const std::vector<AnswerModel::GroupRef>& owned_by(const Provider& provider) const;
  // Natural logarithms of the priors.
  double log_prior(int cause) const { return log_prior_[static_cast<std::size_t>(cause)]; }
  double prior(const Pair& pair) const { return prior_pairs_.at(pair); }
  const PairRows& prior_pairs() const { return prior_pairs_; }
  double log_prior_not_listed() const { return log_prior_not_listed_; }
  // The place of a cause where all stand in the order of their ids.
  int place_by_id(int cause) const { return place_by_id_[static_cast<std::size_t>(cause)]; }

 private:
  const RuleBase* base_;
  std::vector<const Provider*> providers_;
  std::vector<const Provider*> owner_;                     // by fact
  std::vector<std::vector<AnswerModel::GroupRef>> owned_;  // by provider
  AnswerModel answers_;
  PairModel pairs_;
  std::vector<double> log_prior_;
  PairRows prior_pairs_;
  double log_prior_not_listed_ = 0.0;
  std::vector<int> place_by_id_;
};

struct Ranked {
  int cause = -1;
  double probability = 0.0;  // present now, alone or in a pair
  double alone = 0.0;        // present now, with nothing else
  bool impossible = false;
};

struct RankedPair {
  int first = 0, second = 0;
  double probability = 0.0;
};

struct Ranking {
  std::size_t round = 0;
  std::vector<Ranked> causes;     // verdicts first, then most probable, ties by id
  std::vector<RankedPair> pairs;  // present now, most probable first
  double not_listed = 0.0;
  double nothing_left = 0.0;
  // Natural logarithm of P(single cause | E) / P(not listed | E), by cause; for the reasons.
  std::vector<double> log_odds;
  // By round and provider; for the reasons.
  std::vector<std::vector<ProviderWeights>> said;

  // `cause` must be one of the rule base.
  const Ranked& of(int cause) const;
};

// Names the pairs that are at least so probable.
inline constexpr double kLeastPairNamed = 1e-4, kNoPairNamed = 2.0;
Ranking rank(const Reasoner& reasoner, const CaseFacts& facts,
             double least_pair_named = kLeastPairNamed);

// Ranking::log_odds without the pairs, in a fraction of the time.
std::vector<double> log_odds(const Reasoner& reasoner, const CaseFacts& facts);

// What the rules make of the facts that a provider owns, where it does not model the cause: natural
// logarithms of P(known | cause) / P(known | not listed), by cause.
std::vector<double> owned_log_weights(const Reasoner& reasoner, const Provider& provider,
                                      const Answers& answers);

// What repairs have left, by round: present[round][cause] is 0 once a repair has cured the cause.
std::vector<std::vector<char>> present_by_round(const RuleBase& base, const CaseFacts& facts);

}  // namespace perrev
