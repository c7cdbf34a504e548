// What a check may show, and how probable each outcome is under each hypothesis.
//
// A check learns several facts, some at several places. Its outcomes are sheets of answers to the
// things that tell most of what is wrong; what tells less is left out as long as the sheets are too
// many, and sheets that mean nearly the same are put together. Both only make the check look a
// little less telling than it is, never more.
#pragma once

#include <vector>

#include "engine/reasoning/feature.h"

namespace perrev {

// P(outcome | hypothesis) of the whole check, at most `most` outcomes; empty when it tells nothing.
LikelihoodTable outcomes_of(const Reasoner& reasoner, const CaseFacts& facts, int check,
                            const std::vector<Hypothesis>& hypotheses,
                            const std::vector<double>& mass, std::size_t most);

}  // namespace perrev
