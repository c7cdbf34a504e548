#include "engine/knowledge/computed.h"

#include <algorithm>

namespace perrev {

const PhysicsFault* fault_of(const RuleBase& base, int cause) {
  const std::vector<int>& of = base.physics.fault_of;
  const std::size_t at = static_cast<std::size_t>(cause);
  if (at >= of.size() || of[at] < 0) return nullptr;
  return &base.physics.faults[static_cast<std::size_t>(of[at])];
}

namespace {

bool is_answered_by_orders(const Fact& fact) {
  return (fact.id == "how_fast" && fact.kind == FactKind::one &&
          std::all_of(kRateAnswers.begin(), kRateAnswers.end(),
                      [&](std::string_view id) { return answer_index(fact, id) >= 0; })) ||
         (fact.id == "beat_period" && fact.unit == Dimension::time);
}

}  // namespace

std::optional<Computation> computation_of(const RuleBase& base, int fact, int cause) {
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  if (cause >= 0 && cause < base.nothing_left() && is_answered_by_orders(of)) {
    const Cause& turns = base.causes[static_cast<std::size_t>(cause)];
    if (!turns.shakes.empty()) return Computation{"orders", turns.place};
  }
  const PhysicsFault* fault = fault_of(base, cause);
  if (!fault) return std::nullopt;
  const std::string& id = of.id;
  if (std::find(kPhysicsFacts.begin(), kPhysicsFacts.end(), id) == kPhysicsFacts.end())
    return std::nullopt;
  return Computation{"physics", fault->place};
}

std::vector<int> facts_in(const RuleBase& base, const Condition& condition) {
  std::vector<int> out;
  for (const int v : condition.variables())
    out.push_back(base.variables[static_cast<std::size_t>(v)].fact);
  out.erase(std::unique(out.begin(), out.end()), out.end());  // variables stand by fact
  return out;
}

std::vector<int> computed_for(const RuleBase& base, int fact) {
  std::vector<int> out;
  for (int c = 0; c < static_cast<int>(base.causes.size()); ++c)
    if (computation_of(base, fact, c)) out.push_back(c);
  return out;
}

std::vector<int> facts_computed(const RuleBase& base, int cause) {
  std::vector<int> out;
  for (int f = 0; f < static_cast<int>(base.facts.size()); ++f)
    if (computation_of(base, f, cause)) out.push_back(f);
  return out;
}

}  // namespace perrev
