// Small decision models cut from the shipped rule base: few enough causes and checks that the exact
// optimum can be had, with the chances, minutes, set-ups and repairs of the real ones.
//
// Causes are drawn as often as they are usual, at no knowledge or after a few answers of a vehicle
// with one of the causes; checks as often as they tell these causes apart; `not_listed` keeps the
// share it has among all. The same seed gives the same model.
#pragma once

#include <cstdint>
#include <string>

#include "engine/knowledge/rule_base.h"
#include "engine/planning/decision_model.h"
#include "engine/planning/look_ahead.h"
#include "engine/planning/planner.h"
#include "tests/engine/shipped_rules.h"

namespace perrev::testing {

// Of the shipped rule base, compiled once.
const Planner& shipped_planner();

// 6 to 8 causes one at a time and not_listed, 5 to 7 checks, at most 8 repairs.
DecisionModel single_fault_cut(std::uint64_t seed);

// 5 causes, the pairs of them with a fifth of the mass together, not_listed, 4 checks; repairs that
// cure one leave the other, and each pair's two can be done at once.
DecisionModel two_fault_cut(std::uint64_t seed);

// For people: a hypothesis, a step, a whole model.
std::string name_of(const Hypothesis& hypothesis);
std::string name_of(const DecisionModel& model, const Choice& choice);
std::string text_of(const DecisionModel& model);

}  // namespace perrev::testing
