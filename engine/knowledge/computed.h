// Who says what a cause makes people answer: rules, or a computation. One owner for each fact and
// cause, so that nothing is counted twice.
//
// Loading refuses a rule that names an owned cause and reads a fact computed for it; a rule's
// family passes such causes over. So whoever reads rules needs not ask; whoever tells, fits or
// counts them may.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

// What physics computes for the causes under `faults` of physics.yaml.
inline constexpr std::array<std::string_view, 5> kPhysicsFacts = {
    "felt_at", "worst_speed", "begins_speed", "ends_speed", "how_strong"};

// Answers of `how_fast`: a fact with these is computed from the orders of causes that have some.
inline constexpr std::array<std::string_view, 5> kRateAnswers = {
    "slow_as_wheel", "two_three_times_wheel", "as_shaft", "as_engine", "sound_only"};

// What computes a fact for a cause, and where the rule base says so.
struct Computation {
  std::string_view by;  // "physics", "orders"
  Place place;
};

// Nothing where rules say it. `cause` may be RuleBase::nothing_left(). Every owner has its line
// here.
std::optional<Computation> computation_of(const RuleBase& base, int fact, int cause);

// Facts that a condition reads, each once.
std::vector<int> facts_in(const RuleBase& base, const Condition& condition);

// Causes for which the fact is computed, and facts that are computed for the cause, in the order of
// the rule base.
std::vector<int> computed_for(const RuleBase& base, int fact);
std::vector<int> facts_computed(const RuleBase& base, int cause);

// Null where physics computes nothing for the cause.
const PhysicsFault* fault_of(const RuleBase& base, int cause);

}  // namespace perrev
