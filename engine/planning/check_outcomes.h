// What a check may show, and how probable each outcome is under each hypothesis.
//
// A check learns several facts, some at several places. Its outcomes are sheets of answers to the
// things that tell most of what is wrong; what tells less is left out as long as the sheets are too
// many, and sheets that mean nearly the same are put together. Both only make the check look a
// little less telling than it is, never more.
#pragma once

#include <vector>

#include "engine/reasoning/prospect.h"

namespace perrev {

// One thing that can be learned: a variable at a slot, or, of a yes/no read at several places that
// are not known yet, whether any of them says yes; or a fact whose answers a provider computes.
struct Feature {
  int fact = -1;
  int variable = -1;               // -1: computed by `provider`
  std::vector<std::size_t> slots;  // more than one: any of them
  const Provider* provider = nullptr;
};

// The features of a fact that are not known now; empty when there is nothing to learn.
std::vector<Feature> features_of(const Reasoner& reasoner, const CaseFacts& facts, int fact);

// P(answer | hypothesis), by answer and hypothesis, given what is known now.
using LikelihoodTable = std::vector<std::vector<double>>;
LikelihoodTable table_of(const Reasoner& reasoner, const CaseFacts& facts, const Feature& feature,
                         const std::vector<Hypothesis>& hypotheses);

// Expected drop in the entropy of `mass` (sums to one), in bits.
double bits_of(const LikelihoodTable& table, const std::vector<double>& mass);

// What a check tells, near enough: the sum over its features, as if none was tied to another.
double bits_in_all(const Reasoner& reasoner, const CaseFacts& facts, int check,
                   const std::vector<Hypothesis>& hypotheses, const std::vector<double>& mass);

// The same to the second order and without a constant: to choose by, where many are compared.
double spread_at_most(const Reasoner& reasoner, const CaseFacts& facts, int check,
                      const std::vector<Hypothesis>& hypotheses, const std::vector<double>& mass);

// P(outcome | hypothesis) of the whole check, at most `most` outcomes; empty when it tells nothing.
LikelihoodTable outcomes_of(const Reasoner& reasoner, const CaseFacts& facts, int check,
                            const std::vector<Hypothesis>& hypotheses,
                            const std::vector<double>& mass, std::size_t most);

}  // namespace perrev
