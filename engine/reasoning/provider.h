// What is computed instead of written down: a provider says what a vehicle's arithmetic makes of
// facts.
//
// For each (fact, cause) there is one owner: the rules, or one provider. A provider owns a set of
// facts for the causes it models; for all others the rules keep them. No rule ties a fact that is
// owned for some cause to facts that are not (loading sees to it). Weights are natural logarithms
// of P(known facts | cause) / P(known facts | not listed).
//
// Two causes at once answer as one of them does, each as likely (`together: either`), over all
// facts of a provider as one group: a member that it does not model enters with what the rules say.
#pragma once

#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

struct ProviderWeights {
  std::vector<int> facts;        // the known facts that it weighed; empty: it has nothing to say
  std::vector<double> by_cause;  // one for each cause; 0 where it models none
  std::vector<char> models;      // one for each cause
};

// P(answer | cause, what the provider knows) of a variable not known yet, over the variable's own
// answers, or over bands of the provider's making.
struct ProviderTable {
  std::vector<double> edges;                  // of bands of its own making, SI; else empty
  std::vector<double> base;                   // under not_listed
  std::vector<std::vector<double>> by_cause;  // empty row: not modelled
  // Natural logarithm of what it knows, as in ProviderWeights; empty where nothing is known.
  std::vector<double> known;
};

class Provider {
 public:
  virtual ~Provider() = default;
  virtual std::string name() const = 0;
  // Facts (indices) it owns for the causes it models.
  virtual std::vector<int> facts(const RuleBase& base) const = 0;
  // What the facts of round `round` say.
  virtual ProviderWeights weigh(const RuleBase& base, const CaseFacts& facts,
                                std::size_t round) const = 0;
  // Why the weight of a cause in round `round` is what it is; empty where it is 0.
  virtual std::string because(const RuleBase& base, const CaseFacts& facts, std::size_t round,
                              int cause) const = 0;
  // What learning `variable`, of one of its facts, in the latest round could show; empty when
  // nothing can be computed yet.
  virtual ProviderTable expect(const RuleBase& base, const CaseFacts& facts,
                               int variable) const = 0;
};

}  // namespace perrev
