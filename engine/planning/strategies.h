// The strategies that trials compare.
#pragma once

#include <memory>

#include "engine/planning/look_ahead.h"
#include "engine/planning/trial.h"

namespace perrev {

// The planner: look-ahead over the decision model of the case.
std::unique_ptr<Strategy> looking_ahead(const PlannerLimits& model = {},
                                        const LookAheadLimits& search = {});

// Checks in an order of their own until one cause is nearly sure or nothing tells any more; then
// repairs by probability over cost, as long as they are worth more than handing on.
std::unique_ptr<Strategy> entropy_per_minute();  // what tells most bits a minute
std::unique_ptr<Strategy> path_order();          // as rules/path.yaml lists them
std::unique_ptr<Strategy> at_random();           // any that is offered

// RuleBase::flow_chart: over and over the first step from the top that is not done and whose
// condition is known to be true; checks that are not offered are passed over, what a check shows is
// repaired at once, and when no step is left the vehicle is handed on.
std::unique_ptr<Strategy> by_flow_chart();

}  // namespace perrev
