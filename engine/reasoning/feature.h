// What can still be learned, and how probable each answer is under each hypothesis.
//
// Exact for the moment, given what the latest round knows of it. A fact read at several places is
// told by whether any of those that are open says yes, where it has two answers, else by its first
// open place.
#pragma once

#include <vector>

#include "engine/reasoning/prospect.h"

namespace perrev {

// One thing that can be learned: a variable at a slot, or, of a yes/no read at several places that
// are not known yet, whether any of them says yes; or a fact whose answers a provider computes.
struct Feature {
  int fact = -1;
  int variable = -1;
  std::vector<std::size_t> slots;  // more than one: any of them; none where a provider computes
  const Provider* provider = nullptr;
  ProviderTable computed = {};  // what the provider expects
};

// The features of a fact that are not known now and that one who stands where `by` stands may still
// tell: what was unsure there or nearer to the vehicle, or read between the edges of its limit,
// tells nothing when it is asked again.
std::vector<Feature> features_of(const Reasoner& reasoner, const CaseFacts& facts, int fact,
                                 Asker by);

// P(answer | hypothesis), by answer and hypothesis, given what is known now.
using LikelihoodTable = std::vector<std::vector<double>>;
LikelihoodTable table_of(const Reasoner& reasoner, const CaseFacts& facts, const Feature& feature,
                         const std::vector<Hypothesis>& hypotheses);
// The same of a feature that no provider computes, given `answers`; they are left as they were.
LikelihoodTable table_of(const Reasoner& reasoner, Answers& answers, const Feature& feature,
                         const std::vector<Hypothesis>& hypotheses);

// Expected drop in the entropy of `mass` (sums to one), in bits.
double bits_of(const LikelihoodTable& table, const std::vector<double>& mass);

// What facts and checks tell of what is wrong: the sum over their features, as if none was tied to
// another. Works in room of its own: one for each thread.
class Telling {
 public:
  // All must outlive it; `mass` of the hypotheses sums to one.
  Telling(const Reasoner& reasoner, const CaseFacts& facts,
          const std::vector<Hypothesis>& hypotheses, const std::vector<double>& mass);

  // Expected drop in entropy, in bits.
  double bits(int fact, Asker by);
  double bits(const Check& check);
  // The same to the second order and without a constant: to choose by, where many are compared.
  double spread(const Check& check);

 private:
  const LikelihoodTable& table(const Feature& feature);

  const Reasoner& reasoner_;
  const CaseFacts& facts_;
  const std::vector<Hypothesis>& hypotheses_;
  const std::vector<double>& mass_;
  Answers answers_;
  LikelihoodTable table_;
};

}  // namespace perrev
