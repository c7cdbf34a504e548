#include "engine/reasoning/offers.h"

#include <algorithm>

namespace perrev {

bool is_asked(const RuleBase& base, const RoundFacts& round, int fact) {
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  if (of.after_repair && round.opened_by.empty()) return false;
  return truth_somewhere(base, of.asked_if, round.answers) != Truth::no;
}

namespace {

// Per place every place must have been read; a fact that does not apply needs no answer.
bool is_answered(const RuleBase& base, const RoundFacts& round, int fact) {
  if (!is_asked(base, round, fact)) return true;
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  if (of.per == Per::vehicle_case) return round.asked(fact);
  for (std::size_t place = 0; place < places_of(of.per).size(); ++place)
    if (!round.find(fact, static_cast<int>(place))) return false;
  return true;
}

bool answers_clear(const RuleBase& base, const RoundFacts& round, int fact, Asker least) {
  const Fact& of = base.facts[static_cast<std::size_t>(fact)];
  const std::size_t places = std::max<std::size_t>(1, places_of(of.per).size());
  for (std::size_t place = 0; place < places; ++place) {
    const Reading* reading =
        round.find(fact, of.per == Per::vehicle_case ? -1 : static_cast<int>(place));
    if (!reading || reading->unsure || reading->by < least) return false;
    if (((of.clear >> reading->answers[0]) & 1u) == 0) return false;
  }
  return true;
}

bool is_clear(const RuleBase& base, const CaseFacts& facts, int fact) {
  const auto stop = std::find_if(facts.stops.begin(), facts.stops.end(),
                                 [&](const StopState& s) { return s.fact == fact; });
  if (stop != facts.stops.end() && !stop->lifted) return false;
  if (answers_clear(base, facts.now(), fact, Asker::write_up)) return true;
  const auto& rule = base.facts[static_cast<std::size_t>(fact)].stop;
  return rule && answers_clear(base, facts.now(), rule->cleared_by, Asker::bay);
}

}  // namespace

bool is_done(const RuleBase& base, const RoundFacts& round, int check) {
  if (std::binary_search(round.not_possible.begin(), round.not_possible.end(), check)) return true;
  const std::vector<int>& learns = base.checks[static_cast<std::size_t>(check)].learns;
  return std::all_of(learns.begin(), learns.end(),
                     [&](int fact) { return is_answered(base, round, fact); });
}

bool can_be_done(const RuleBase& base, const RoundFacts& round, int check) {
  const Check& of = base.checks[static_cast<std::size_t>(check)];
  return !is_done(base, round, check) &&
         std::all_of(
             of.equipment.begin(), of.equipment.end(),
             [&](int thing) { return base.equipment[static_cast<std::size_t>(thing)].have; }) &&
         truth_somewhere(base, of.asked_if, round.answers) != Truth::no;
}

bool is_open(const RuleBase& base, const RoundFacts& round, const std::vector<GateState>& gates,
             const PathEdge& edge) {
  const int first_gate = base.vertex_of_gate(0), first_end = base.vertex_of_end(0);
  // A gate does not hold its other ways back: an edge from it that does not ask `passed` counts as
  // reached.
  const bool from_gate = edge.from >= first_gate && edge.from < first_end;
  const bool source_done =
      from_gate ? !edge.passed || gates[static_cast<std::size_t>(edge.from - first_gate)].passed
                : edge.from == 0 || is_done(base, round, edge.from - 1);
  return source_done && truth_somewhere(base, edge.when, round.answers) == Truth::yes;
}

Offers offers_of(const RuleBase& base, const CaseFacts& facts) {
  const RoundFacts& round = facts.now();
  Offers out;
  for (std::size_t g = 0; g < base.gates.size(); ++g) {
    GateState state{static_cast<int>(g), true, {}};
    for (const int fact : base.gates[g].asks)
      if (!is_clear(base, facts, fact)) state.missing.push_back(fact);
    state.passed = state.missing.empty();
    out.gates.push_back(std::move(state));
  }
  const bool stopped = facts.stopped();
  for (std::size_t c = 0; c < base.checks.size(); ++c) {
    const Check& check = base.checks[c];
    const bool moves = check.moves != Moves::no;
    if (moves && stopped) continue;
    if (!can_be_done(base, round, static_cast<int>(c))) continue;
    const std::vector<int>& guards = base.guards[c];
    const bool held = moves && std::any_of(guards.begin(), guards.end(), [&](int g) {
                        return !out.gates[static_cast<std::size_t>(g)].passed;
                      });
    if (held) continue;
    const std::vector<int>& edges =
        base.incoming[static_cast<std::size_t>(base.vertex_of_check(static_cast<int>(c)))];
    const bool reached = std::any_of(edges.begin(), edges.end(), [&](int e) {
      return is_open(base, round, out.gates, base.edges[static_cast<std::size_t>(e)]);
    });
    if (reached) out.checks.push_back(static_cast<int>(c));
  }
  return out;
}

}  // namespace perrev
