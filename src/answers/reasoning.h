// How this program reasons with a rule base: by its rules, and by every provider it has.
#pragma once

#include "engine/planning/planner.h"
#include "engine/providers/felt.h"
#include "engine/providers/orders.h"

namespace perrev {

struct Reasoning {
  // The rule base must outlive it. `vehicles`: about so many different ones are remembered, at 3 MB
  // each.
  explicit Reasoning(const RuleBase& base, std::size_t vehicles = 8)
      : felt(kFeltParts * vehicles), reasoner(base, {&felt, &orders}), planner(reasoner) {}
  Reasoning(const Reasoning&) = delete;
  Reasoning& operator=(const Reasoning&) = delete;

  const FeltProvider felt;
  const OrdersProvider orders;
  const Reasoner reasoner;
  const Planner planner;
};

}  // namespace perrev
