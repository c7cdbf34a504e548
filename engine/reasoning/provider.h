// What is computed instead of written down: a provider says what a vehicle's arithmetic makes of
// facts.
//
// For each (fact, cause) there is one owner: the rules, or one provider. A provider owns a set of
// facts and speaks of the causes it models; for all others its weight is 0. Weights are natural
// logarithms of P(known facts | cause) / P(known facts | not listed).
#pragma once

#include <string>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

struct ProviderWeights {
  std::vector<int> facts;        // the known facts that it weighed; empty: it has nothing to say
  std::vector<double> by_cause;  // one for each cause; 0 where it models none
  std::vector<std::string> because;  // one for each cause; empty where the weight is 0
};

// P(answer | cause) of a fact not yet known, over answers of the provider's own making (bands).
struct ProviderTable {
  std::vector<double> base;                   // under not_listed
  std::vector<std::vector<double>> by_cause;  // empty row: the base
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
  // What learning `fact` in the latest round could show; empty when nothing can be computed yet.
  virtual ProviderTable expect(const RuleBase& base, const CaseFacts& facts, int fact) const = 0;
};

}  // namespace perrev
