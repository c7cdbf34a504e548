// What may be offered, read a second time from the definition: by the known answers, Kleene's logic
// and walks over the path, sharing no code with the engine's offers.
#pragma once

#include <algorithm>
#include <set>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "tests/engine/reasoning/brute_force.h"

namespace perrev::testing {

// Truths: 1 yes, 0 no, -1 unknown.
class Frontier {
 public:
  Frontier(const RuleBase& base, const CaseFile& file, const CaseFacts& facts)
      : base_(base), facts_(facts), known_(known_of(base, file)) {}

  std::set<int> checks() const {
    std::set<int> out;
    for (std::size_t c = 0; c < base_.checks.size(); ++c)
      if (offered(static_cast<int>(c))) out.insert(static_cast<int>(c));
    return out;
  }

  bool passed(const Gate& gate) const {
    return std::all_of(gate.asks.begin(), gate.asks.end(),
                       [&](int fact) { return clear(base_.facts[at(fact)], fact); });
  }

 private:
  static std::size_t at(int i) { return static_cast<std::size_t>(i); }
  const Sheet& now() const { return known_.rounds.back().answers; }

  int truth_at(const Condition& condition, int place) const {
    if (condition.kind == Condition::Kind::test) {
      const Variable& v = base_.variables[at(condition.variable)];
      const int answer = now()[at(v.first_slot + (v.slots > 1 ? place : 0))];
      return answer < 0 ? -1 : static_cast<int>((condition.answers >> answer) & 1u);
    }
    std::set<int> parts;
    for (const Condition& part : condition.parts) parts.insert(truth_at(part, place));
    if (condition.kind == Condition::Kind::negation)
      return *parts.begin() < 0 ? -1 : 1 - *parts.begin();
    const int decides = condition.kind == Condition::Kind::all ? 0 : 1;
    return parts.count(decides) > 0 ? decides : parts.count(-1) > 0 ? -1 : 1 - decides;
  }

  // True at some place; false at none; else unknown.
  int truth(const Condition& condition) const {
    int places = 1;
    for (const int v : condition.variables())
      places = std::max(places, base_.variables[at(v)].slots);
    std::set<int> found;
    for (int place = 0; place < places; ++place) found.insert(truth_at(condition, place));
    return found.count(1) > 0 ? 1 : found.count(-1) > 0 ? -1 : 0;
  }

  const Reading* reading(int fact, int place) const {
    const Per per = base_.facts[at(fact)].per;
    return facts_.now().find(fact, per == Per::vehicle_case ? -1 : place);
  }

  int places(int fact) const {
    return std::max(1, static_cast<int>(places_of(base_.facts[at(fact)].per).size()));
  }

  // Each place answered, by `least` or better, with a clear answer.
  bool answered_clear(int number, Asker least) const {
    for (int place = 0; place < places(number); ++place) {
      const Reading* found = reading(number, place);
      if (found == nullptr || found->unsure || found->by < least) return false;
      if (((base_.facts[at(number)].clear >> found->answers[0]) & 1u) == 0) return false;
    }
    return true;
  }

  // Clear in this round: its clear answer, or the bay's on what lifts its stop; and no stop of it
  // in force.
  bool clear(const Fact& fact, int number) const {
    const auto stop = std::find_if(facts_.stops.begin(), facts_.stops.end(),
                                   [&](const StopState& s) { return s.fact == number; });
    if (stop != facts_.stops.end() && !stop->lifted) return false;
    return answered_clear(number, Asker::write_up) ||
           (fact.stop && answered_clear(fact.stop->cleared_by, Asker::bay));
  }

  bool done(int check) const {
    const std::vector<int>& never = facts_.now().not_possible;
    if (std::find(never.begin(), never.end(), check) != never.end()) return true;
    for (const int fact : base_.checks[at(check)].learns) {
      const Fact& of = base_.facts[at(fact)];
      if (truth(of.asked_if) == 0 || (of.after_repair && known_.rounds.size() == 1)) continue;
      for (int place = 0; place < places(fact); ++place)
        if (reading(fact, place) == nullptr) return false;
    }
    return true;
  }

  // Whether `vertex` can be reached when nobody passes `gate`.
  bool round_the_gate(int vertex, int gate) const {
    std::set<int> reached = {0};
    for (std::size_t before = 0; before != reached.size();) {
      before = reached.size();
      for (const PathEdge& edge : base_.edges)
        if (reached.count(edge.from) > 0 && !(edge.passed && edge.from == gate))
          reached.insert(edge.to);
    }
    return reached.count(vertex) > 0;
  }

  bool offered(int c) const {
    const Check& check = base_.checks[at(c)];
    const int vertex = base_.vertex_of_check(c);
    if (check.moves != Moves::no) {
      if (known_.stopped) return false;
      for (std::size_t g = 0; g < base_.gates.size(); ++g)
        if (!passed(base_.gates[g]) &&
            !round_the_gate(vertex, base_.vertex_of_gate(static_cast<int>(g))))
          return false;
    }
    if (done(c) || truth(check.asked_if) == 0) return false;
    for (const int thing : check.equipment)
      if (!base_.equipment[at(thing)].have) return false;
    return std::any_of(base_.edges.begin(), base_.edges.end(), [&](const PathEdge& edge) {
      if (edge.to != vertex || truth(edge.when) != 1) return false;
      if (edge.from == 0) return true;
      if (edge.from < base_.vertex_of_gate(0)) return done(edge.from - 1);
      return !edge.passed || passed(base_.gates[at(edge.from - base_.vertex_of_gate(0))]);
    });
  }

  const RuleBase& base_;
  const CaseFacts& facts_;
  const Known known_;
};

}  // namespace perrev::testing
