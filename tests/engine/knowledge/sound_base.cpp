#include "tests/engine/knowledge/sound_base.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <sstream>

#include "engine/knowledge/computed.h"
#include "engine/knowledge/groups.h"
#include "engine/knowledge/path.h"

namespace perrev::small {

namespace {

class Looker {
 public:
  explicit Looker(const RuleBase& base) : base_(base) {}

  std::vector<std::string> found;

  void look() {
    ids();
    facts();
    variables();
    causes();
    conditions();
    links();
    physics();
    if (!check_path(base_).empty()) say("the path has problems");
    for (const auto& groups : all_groups(base_))
      for (const FactGroup& group : groups)
        if (group.sheets < 1 || group.sheets > kLargestGroup) say("a group is too large");
  }

 private:
  void say(const std::string& what) { found.push_back(what); }
  template <class List>
  bool index(int i, const List& list) {
    return i >= 0 && i < static_cast<int>(list.size());
  }
  template <class List>
  void unique_ids(const List& list, const std::string& kind) {
    std::set<std::string> seen;
    for (const auto& each : list)
      if (each.id.empty() || !seen.insert(each.id).second) say(kind + " " + each.id);
  }
  void ids() {
    unique_ids(base_.facts, "fact");
    unique_ids(base_.families, "family");
    unique_ids(base_.causes, "cause");
    unique_ids(base_.rules, "rule");
    unique_ids(base_.checks, "check");
    unique_ids(base_.setups, "set-up");
    unique_ids(base_.equipment, "equipment");
    unique_ids(base_.repairs, "repair");
    unique_ids(base_.gates, "gate");
    unique_ids(base_.ends, "end");
    for (std::size_t i = 0; i < base_.facts.size(); ++i)
      if (base_.fact_index(base_.facts[i].id) != static_cast<int>(i)) say("fact_index");
    for (std::size_t i = 0; i < base_.causes.size(); ++i)
      if (base_.cause_index(base_.causes[i].id) != static_cast<int>(i)) say("cause_index");
  }
  void facts() {
    for (const Fact& fact : base_.facts) {
      const bool text = fact.kind == FactKind::text;
      if (fact.asked_at.empty() || fact.ask.empty()) say(fact.id + ": never asked");
      if (text != (fact.variable_count == 0)) say(fact.id + ": variables");
      for (int v = 0; v < fact.variable_count; ++v)
        if (!index(fact.first_variable + v, base_.variables)) say(fact.id + ": variable index");
      const AnswerSet all = (AnswerSet{1} << fact.answers.size()) - 1;
      if ((fact.clear & ~all) != 0) say(fact.id + ": clear");
      if (fact.stop && ((fact.stop->answers & ~all) != 0 || fact.stop->answers == 0 ||
                        !index(fact.stop->cleared_by, base_.facts)))
        say(fact.id + ": stop");
      const bool limited = fact.kind == FactKind::number && !fact.answers.empty();
      if (limited != (fact.limit >= 0)) say(fact.id + ": limit");
      if (fact.limit >= 0 && base_.limits[static_cast<std::size_t>(fact.limit)].classes.empty())
        say(fact.id + ": a limit without classes");
    }
  }
  void variables() {
    int slots = 0;
    for (const Variable& variable : base_.variables) {
      if (!index(variable.fact, base_.facts)) return say("a variable of no fact");
      const Fact& fact = base_.facts[static_cast<std::size_t>(variable.fact)];
      double sum = 0.0;
      for (const double rate : variable.base) {
        if (!(rate > 0.0)) say(fact.id + ": a base rate that is not above 0");
        sum += rate;
      }
      if (std::abs(sum - 1.0) > 1e-12) say(fact.id + ": base rates that do not sum to 1");
      if (variable.size() < 1 || variable.size() > 64) say(fact.id + ": answers");
      if (!variable.edges.empty()) {
        if (variable.edges.size() != variable.base.size() + 1) say(fact.id + ": edges");
        if (variable.edges.front() != fact.low || variable.edges.back() != fact.high)
          say(fact.id + ": outer edges");
        if (!std::is_sorted(variable.edges.begin(), variable.edges.end())) say("edges fall");
      }
      if (variable.first_slot != slots) say(fact.id + ": slots");
      slots += variable.slots;
    }
    if (slots != base_.slot_count) say("slot_count");
  }
  void causes() {
    for (std::size_t c = 0; c < base_.causes.size(); ++c) {
      const Cause& cause = base_.causes[c];
      if (!index(cause.family, base_.families) || !index(cause.repair, base_.repairs) ||
          !(cause.usual > 0.0))
        say(cause.id);
      double share = 0.0;
      for (const Shake& shake : cause.shakes) {
        share += shake.share;
        if (!(shake.share > 0.0) || shake.low_order > shake.high_order) say(cause.id + ": shake");
      }
      if (!cause.shakes.empty() && std::abs(share - 1.0) > 1e-6) say(cause.id + ": shares");
      for (const auto& need : cause.needs)
        if (!index(need.first, base_.variables) || need.second == 0 ||
            base_.variables[static_cast<std::size_t>(need.first)].per != Per::vehicle_case)
          say(cause.id + ": needs");
      for (const int other : cause.not_with) {
        if (!index(other, base_.causes) || other == static_cast<int>(c)) return say("not_with");
        const auto& back = base_.causes[static_cast<std::size_t>(other)].not_with;
        if (!std::binary_search(back.begin(), back.end(), static_cast<int>(c)))
          say(cause.id + ": not_with is not symmetric");
      }
      if (!std::is_sorted(cause.not_with.begin(), cause.not_with.end())) say("not_with unsorted");
    }
  }
  void condition(const Condition& condition, const std::string& where) {
    if (condition.kind == Condition::Kind::negation && condition.parts.size() != 1)
      say(where + ": not of many");
    condition.each_test([&](const Condition& leaf) {
      if (!index(leaf.variable, base_.variables)) return say(where + ": a test of no variable");
      const Variable& variable = base_.variables[static_cast<std::size_t>(leaf.variable)];
      if (leaf.answers == 0) say(where + ": a test that nothing passes");
      if (variable.size() < 64 && (leaf.answers >> variable.size()) != 0)
        say(where + ": an answer that the variable has not");
    });
  }
  void conditions() {
    for (const Fact& fact : base_.facts) condition(fact.asked_if, fact.id);
    for (const Rule& rule : base_.rules) {
      condition(rule.when, rule.id);
      if (rule.when.variables().empty() || rule.effects.empty()) say(rule.id + ": says nothing");
      int before = -1;
      for (const Rule::Effect& effect : rule.effects) {
        if (effect.cause <= before || effect.cause > base_.nothing_left() ||
            effect.log_ratio == 0.0 || !std::isfinite(effect.log_ratio))
          say(rule.id + ": effects");
        before = effect.cause;
      }
    }
    for (const Check& check : base_.checks) {
      condition(check.asked_if, check.id);
      for (const auto& verdict : check.confirms) {
        condition(verdict.second, check.id);
        if (verdict.second.variables().empty()) say(check.id + ": a verdict on nothing");
        if (!index(verdict.first, base_.causes)) say(check.id + ": confirms");
      }
    }
    for (const PathEdge& edge : base_.edges) condition(edge.when, "an edge");
  }
  void links() {
    for (const Check& check : base_.checks) {
      if (check.learns.empty() || !(check.minutes > 0.0)) say(check.id + ": learns nothing");
      for (const int fact : check.learns)
        if (!index(fact, base_.facts)) say(check.id + ": learns");
      if (check.setup != -1 && !index(check.setup, base_.setups)) say(check.id + ": set-up");
      for (const int thing : check.equipment)
        if (!index(thing, base_.equipment)) say(check.id + ": equipment");
    }
    for (const Repair& repair : base_.repairs)
      for (const int cause : repair.cures)
        if (!index(cause, base_.causes)) say(repair.id + ": cures");
    for (const Gate& gate : base_.gates) {
      if (gate.asks.empty()) say(gate.id + ": asks nothing");
      for (const int fact : gate.asks)
        if (!index(fact, base_.facts) || base_.facts[static_cast<std::size_t>(fact)].clear == 0)
          say(gate.id + ": asks what is never clear");
    }
    for (const PathEdge& edge : base_.edges)
      if (edge.from < 0 || edge.from >= base_.vertex_count() || edge.to < 1 ||
          edge.to >= base_.vertex_count())
        say("an edge of no vertex");
  }

  void physics() {
    const PhysicsBook& book = base_.physics;
    if (book.empty()) return;
    if (book.fault_of.size() != base_.causes.size()) return say("fault_of");
    std::size_t faults = 0;
    for (std::size_t c = 0; c < base_.causes.size(); ++c) {
      if (book.fault_of[c] == -1) continue;
      if (!index(book.fault_of[c], book.faults)) return say("fault_of");
      if (book.fault_of[c] != static_cast<int>(faults++)) say("faults are not sorted by cause");
      const PhysicsFault& fault = book.faults[static_cast<std::size_t>(book.fault_of[c])];
      if (fault.cause != static_cast<int>(c)) say(base_.causes[c].id + ": another's fault");
      if (base_.causes[c].shakes.empty()) say(base_.causes[c].id + ": nothing turns");
      if (!(fault.median > 0.0) || !(fault.spread > 1.0) || fault.front < 0.0 ||
          fault.front > 1.0 || fault.origin.empty())
        say(base_.causes[c].id + ": fault");
      for (const auto& need : base_.causes[c].needs)
        if (computation_of(base_, base_.variables[static_cast<std::size_t>(need.first)].fact,
                           fault.cause))
          say(base_.causes[c].id + ": needs what is computed");
    }
    if (faults != book.faults.size()) say("a fault of no cause");
    for (const Rule& rule : base_.rules)
      for (const Rule::Effect& effect : rule.effects)
        for (const int fact : facts_in(base_, rule.when))
          if (computation_of(base_, fact, effect.cause)) say(rule.id + ": owned by computation");
    for (const PhysicsBody& body : book.bodies)
      for (const double value : {body.sprung, body.unsprung, body.spring, body.tire, body.damper,
                                 body.wheel, body.circumference, body.axle_ratio})
        if (!(value > 0.0)) say(body.id + ": body");
    const std::vector<PhysicsSense>& senses = book.people.senses;
    for (std::size_t i = 1; i < senses.size(); ++i)
      if (!(senses[i - 1].place < senses[i].place)) say("senses are not sorted");
    for (const PhysicsPath& path : book.paths) {
      if (std::none_of(senses.begin(), senses.end(),
                       [&](const PhysicsSense& sense) { return sense.place == path.to; }))
        say("a path to where nothing is felt");
      if (!(path.hz > 0.0) || !(path.damping > 0.0) || !(path.gain > 0.0)) say("path");
    }
  }

  const RuleBase& base_;
};

std::string joined(const std::vector<int>& numbers) {
  std::string out;
  for (const int n : numbers) out += std::to_string(n) + " ";
  return out;
}

}  // namespace

std::vector<std::string> unsound(const RuleBase& base) {
  Looker looker(base);
  looker.look();
  return looker.found;
}

std::string written_out(const RuleBase& base) {
  std::ostringstream out;
  out.precision(17);
  out << base.digest << " " << base.shares.not_listed << " " << base.shares.pairs << "\n";
  for (const Fact& fact : base.facts)
    out << "fact " << fact.id << " " << name_of(fact.kind) << " " << fact.low << ".." << fact.high
        << " if " << base.words(fact.asked_if) << " clear " << fact.clear << "\n";
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    out << "variable " << base.variable_name(static_cast<int>(v)) << ":";
    for (const double rate : base.variables[v].base) out << " " << rate;
    for (const double edge : base.variables[v].edges) out << " |" << edge;
    out << "\n";
  }
  for (const Limit& limit : base.limits)
    for (const LimitClass& row : limit.classes)
      out << "limit " << limit.fact << " " << row.id << " " << row.good << " " << row.bad << "\n";
  for (const Cause& cause : base.causes) {
    out << "cause " << cause.id << " " << cause.family << " " << cause.usual << " not with "
        << joined(cause.not_with) << "repair " << cause.repair;
    for (const auto& need : cause.needs) out << " needs " << need.first << "=" << need.second;
    for (const Shake& shake : cause.shakes)
      out << " shakes " << shake.source << " " << shake.low_order << ".." << shake.high_order << " "
          << shake.share;
    out << "\n";
  }
  for (const Rule& rule : base.rules) {
    out << "rule " << rule.id << " when " << base.words(rule.when);
    for (const Rule::Effect& effect : rule.effects)
      out << " " << effect.cause << ":" << effect.log_ratio;
    out << "\n";
  }
  for (const Repair& repair : base.repairs)
    out << "repair " << repair.id << " " << repair.minutes << " cures " << joined(repair.cures)
        << "\n";
  for (const Check& check : base.checks) {
    out << "check " << check.id << " learns " << joined(check.learns) << "needs "
        << joined(check.equipment) << check.setup << " if " << base.words(check.asked_if);
    for (const auto& verdict : check.confirms)
      out << " confirms " << verdict.first << " " << base.words(verdict.second);
    out << "\n";
  }
  const PhysicsBook& book = base.physics;
  for (const PhysicsBody& body : book.bodies)
    out << "body " << body.id << " " << body.sprung << " " << body.unsprung << " " << body.spring
        << " " << body.tire << " " << body.damper << " " << body.wheel << " " << body.circumference
        << " " << body.circumference_sd << " " << body.axle_ratio << " " << body.axle_ratio_sd
        << "\n";
  const PhysicsPeople& people = book.people;
  out << "road " << book.road.roughness << " " << book.road.fore_aft << " " << book.road.lateral
      << "\npeople " << people.spread_db << " " << people.vehicle_spread_db << " "
      << people.listening_hz << " " << people.complains_from_db << " " << people.complains_spread_db
      << " " << people.clear_db << " " << people.strong_db << " " << people.alarming_db << " "
      << people.strength_spread_db << " " << people.whole_car_db << "\n";
  for (const PhysicsSense& sense : book.people.senses)
    out << "sense " << name_of(sense.place) << " " << static_cast<int>(sense.weighting) << " "
        << sense.threshold << "\n";
  for (const PhysicsPath& path : book.paths)
    out << "felt path " << name_of(path.from) << " " << name_of(path.to) << " " << path.hz << " "
        << path.damping << " " << path.isolates << " " << path.gain << " " << path.front << " "
        << path.rear << "\n";
  for (const PhysicsFault& fault : book.faults)
    out << "fault " << fault.cause << " " << name_of(fault.kind) << " " << fault.median << " "
        << fault.spread << " " << fault.front << " " << fault.steer << " " << fault.vertical << " "
        << fault.heard_db << " " << fault.origin << "\n";
  for (const PathEdge& edge : base.edges)
    out << base.vertex_name(edge.from) << " -> " << base.vertex_name(edge.to)
        << (edge.passed ? " passed " : " ") << base.words(edge.when) << "\n";
  return out.str();
}

}  // namespace perrev::small
