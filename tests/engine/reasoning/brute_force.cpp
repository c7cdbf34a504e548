#include "tests/engine/reasoning/brute_force.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

namespace perrev::testing {

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

// The truth of a condition when everything is answered.
bool holds(const Condition& condition, const std::function<int(int)>& answer) {
  if (condition.kind == Condition::Kind::test)
    return ((condition.answers >> answer(condition.variable)) & 1u) != 0;
  if (condition.kind == Condition::Kind::negation) return !holds(condition.parts[0], answer);
  std::size_t yes = 0;
  for (const Condition& part : condition.parts) yes += holds(part, answer) ? 1 : 0;
  return condition.kind == Condition::Kind::all ? yes == condition.parts.size() : yes > 0;
}

void name_variables(const Condition& condition, std::set<int>& out) {
  if (condition.kind == Condition::Kind::test) out.insert(condition.variable);
  for (const Condition& part : condition.parts) name_variables(part, out);
}

// Sets that share a member become one, until none do.
std::vector<std::vector<int>> merged(std::vector<std::set<int>> sets) {
  for (std::size_t i = 0; i < sets.size();) {
    std::size_t other = i + 1;
    while (other < sets.size() &&
           std::none_of(
               sets[i].begin(), sets[i].end(), [&](int v) { return sets[other].count(v) > 0; }))
      ++other;
    if (other == sets.size()) {
      ++i;
      continue;
    }
    sets[i].insert(sets[other].begin(), sets[other].end());
    sets.erase(sets.begin() + static_cast<std::ptrdiff_t>(other));
    i = 0;
  }
  std::vector<std::vector<int>> out;
  for (const auto& set : sets) out.emplace_back(set.begin(), set.end());
  return out;
}

// Visits every full sheet over the slots; others keep what `sheet` holds.
void each_sheet(const std::vector<int>& slots, const std::vector<int>& sizes, Sheet& sheet,
                const std::function<void()>& visit, std::size_t depth = 0) {
  if (depth == slots.size()) return visit();
  for (int a = 0; a < sizes[depth]; ++a) {
    sheet[at(slots[depth])] = a;
    each_sheet(slots, sizes, sheet, visit, depth + 1);
  }
}

}  // namespace

double JointTable::at(const Sheet& full) const {
  std::size_t index = 0;
  for (std::size_t i = 0; i < slots.size(); ++i)
    index = index * static_cast<std::size_t>(sizes[i]) +
            static_cast<std::size_t>(full[static_cast<std::size_t>(slots[i])]);
  return p[index];
}

double JointTable::marginal(const Sheet& known) const {
  const std::function<double(std::size_t, std::size_t)> sum = [&](std::size_t depth,
                                                                  std::size_t index) -> double {
    if (depth == slots.size()) return p[index];
    const int answer = known[testing::at(slots[depth])];
    const std::size_t size = testing::at(sizes[depth]);
    if (answer >= 0) return sum(depth + 1, index * size + testing::at(answer));
    double total = 0.0;
    for (std::size_t a = 0; a < size; ++a) total += sum(depth + 1, index * size + a);
    return total;
  };
  return sum(0, 0);
}

BruteForce::BruteForce(const RuleBase& base) : base_(base) {
  const int causes = static_cast<int>(base.causes.size());
  for (std::size_t v = 0; v < base.variables.size(); ++v)
    for (int s = 0; s < base.variables[v].slots; ++s) variable_of_.push_back(static_cast<int>(v));
  for (int c = 0; c <= causes; ++c) {
    std::vector<std::set<int>> sets;
    for (const Rule& rule : base.rules)
      for (const Rule::Effect& effect : rule.effects)
        if (effect.cause == c) name_variables(rule.when, sets.emplace_back());
    if (c < causes)
      for (const auto& need : base.causes[at(c)].needs) sets.push_back({need.first});
    groups_.push_back(merged(std::move(sets)));
    tables_[c < causes ? Present{c} : Present{}] = single(c);
  }
  double usual = 0.0, both = 0.0;
  for (const Cause& cause : base.causes) usual += cause.usual;
  std::vector<Present> pairs;
  for (int a = 0; a < causes; ++a)
    for (int b = a + 1; b < causes; ++b)
      if (add_pair(a, b)) pairs.push_back({a, b});
  for (const Present& pair : pairs)
    both += base.causes[at(pair[0])].usual * base.causes[at(pair[1])].usual;
  const double pair_share = pairs.empty() ? 0.0 : base.shares.pairs;
  for (int c = 0; c < causes; ++c) {
    hypotheses_.push_back({c});
    priors_.push_back((1.0 - base.shares.not_listed - pair_share) * base.causes[at(c)].usual /
                      usual);
  }
  for (const Present& pair : pairs) {
    hypotheses_.push_back(pair);
    priors_.push_back(pair_share * base.causes[at(pair[0])].usual * base.causes[at(pair[1])].usual /
                      both);
  }
  hypotheses_.push_back({});
  priors_.push_back(base.shares.not_listed);
}

std::vector<JointTable> BruteForce::single(int cause) const {
  std::vector<JointTable> out;
  for (const std::vector<int>& variables : groups_[at(cause)])
    out.push_back(group(cause, variables));
  return out;
}

JointTable BruteForce::group(int cause, const std::vector<int>& variables) const {
  JointTable out;
  int places = 1;
  for (const int v : variables) places = std::max(places, base_.variables[at(v)].slots);
  // The fault's own place: one answer for each variable.
  std::vector<int> sizes;
  for (const int v : variables) sizes.push_back(base_.variables[at(v)].size());
  JointTable own{variables, sizes, {}};
  Sheet by_variable(base_.variables.size(), 0);
  double z = 0.0;
  each_sheet(variables, sizes, by_variable, [&] {
    double p = 1.0;
    for (const int v : variables) p *= base_.variables[at(v)].base[at(by_variable[at(v)])];
    for (const Rule& rule : base_.rules)
      for (const Rule::Effect& effect : rule.effects) {
        if (effect.cause != cause) continue;
        std::set<int> named;
        name_variables(rule.when, named);
        if (std::find(variables.begin(), variables.end(), *named.begin()) == variables.end())
          continue;
        if (holds(rule.when, [&](int v) { return by_variable[at(v)]; }))
          p *= std::exp(effect.log_ratio);
      }
    if (cause < base_.nothing_left())
      for (const auto& [v, allowed] : base_.causes[at(cause)].needs)
        if (std::find(variables.begin(), variables.end(), v) != variables.end() &&
            ((allowed >> by_variable[at(v)]) & 1u) == 0)
          p = 0.0;
    own.p.push_back(p);
    z += p;
  });
  for (double& p : own.p) p /= z;
  // All places.
  for (const int v : variables)
    for (int s = 0; s < base_.variables[at(v)].slots; ++s) {
      out.slots.push_back(base_.variables[at(v)].first_slot + s);
      out.sizes.push_back(base_.variables[at(v)].size());
    }
  Sheet sheet(at(base_.slot_count), 0);
  each_sheet(out.slots, out.sizes, sheet, [&] {
    double mean = 0.0;
    for (int place = 0; place < places; ++place) {
      double others = 1.0;
      for (const int v : variables) {
        const Variable& of = base_.variables[at(v)];
        const int here = of.slots > 1 ? place : 0;
        by_variable[at(v)] = sheet[at(of.first_slot + here)];
        for (int s = 0; s < of.slots; ++s)
          if (s != here) others *= of.base[at(sheet[at(of.first_slot + s)])];
      }
      mean += own.at(by_variable) * others / places;
    }
    out.p.push_back(mean);
  });
  return out;
}

// P(sheet over the slots | the cause alone): its groups among them, base rates for the rest.
double BruteForce::member(int cause, const std::vector<int>& slots, const Sheet& sheet) const {
  double p = 1.0;
  std::set<int> covered;
  for (const JointTable& table : tables_.at({cause})) {
    if (std::find(slots.begin(), slots.end(), table.slots[0]) == slots.end()) continue;
    p *= table.at(sheet);
    covered.insert(table.slots.begin(), table.slots.end());
  }
  for (const int slot : slots)
    if (covered.count(slot) == 0)
      p *= base_.variables[at(variable_of_[at(slot)])].base[at(sheet[at(slot)])];
  return p;
}

// P(yes | the cause) at the place where its fault sits, of a yes/no that no rule ties to another
// fact.
double BruteForce::yes_at_fault(int cause, int variable) const {
  const Variable& of = base_.variables[at(variable)];
  double odds[2] = {of.base[0], of.base[1]};
  for (const Rule& rule : base_.rules)
    for (const Rule::Effect& effect : rule.effects) {
      std::set<int> named;
      name_variables(rule.when, named);
      if (effect.cause != cause || named != std::set<int>{variable}) continue;
      for (const int answer : {0, 1})
        if (holds(rule.when, [&](int) { return answer; }))
          odds[answer] *= std::exp(effect.log_ratio);
    }
  return odds[1] / (odds[0] + odds[1]);
}

JointTable BruteForce::component(int a, int b, const std::vector<int>& variables) const {
  JointTable out;
  for (const int v : variables)
    for (int s = 0; s < base_.variables[at(v)].slots; ++s) {
      out.slots.push_back(base_.variables[at(v)].first_slot + s);
      out.sizes.push_back(base_.variables[at(v)].size());
    }
  Sheet sheet(at(base_.slot_count), 0);
  const Variable& first = base_.variables[at(variables[0])];
  const bool any =
      variables.size() == 1 && first.slots == 1 && first.size() == 2 && first.together_any;
  if (variables.size() == 1 && first.slots > 1 && first.size() == 2 && first.together_any) {
    // Each fault at a place of its own, all places as likely.
    const double base = first.base[1], p = yes_at_fault(a, variables[0]),
                 q = yes_at_fault(b, variables[0]);
    const double both = 1.0 - (1.0 - p) * (1.0 - q) / (1.0 - std::min({base, p, q}));
    each_sheet(out.slots, out.sizes, sheet, [&] {
      double total = 0.0;
      for (int x = 0; x < first.slots; ++x)
        for (int y = 0; y < first.slots; ++y) {
          double here = 1.0;
          for (int s = 0; s < first.slots; ++s) {
            const double yes = s == x && s == y ? both : s == x ? p : s == y ? q : base;
            here *= sheet[at(first.first_slot + s)] == 1 ? yes : 1.0 - yes;
          }
          total += here;
        }
      out.p.push_back(total / (first.slots * first.slots));
    });
    return out;
  }
  double yes = 0.0;
  if (any) {
    sheet[at(first.first_slot)] = 1;
    const double p = member(a, out.slots, sheet), q = member(b, out.slots, sheet),
                 least = std::min({first.base[1], p, q});
    yes = 1.0 - (1.0 - p) * (1.0 - q) / (1.0 - least);
  }
  double z = 0.0;
  each_sheet(out.slots, out.sizes, sheet, [&] {
    const double p = member(a, out.slots, sheet), q = member(b, out.slots, sheet);
    double both = any ? (sheet[at(first.first_slot)] == 1 ? yes : 1.0 - yes) : 0.5 * (p + q);
    if (p == 0.0 || q == 0.0) both = 0.0;
    out.p.push_back(both);
    z += both;
  });
  for (double& p : out.p) p = z > 0.0 ? p / z : 0.0;
  return out;
}

bool BruteForce::add_pair(int a, int b) {
  const std::vector<int>& never = base_.causes[at(a)].not_with;
  if (std::find(never.begin(), never.end(), b) != never.end()) return false;
  std::vector<std::set<int>> sets;
  for (const int c : {a, b})
    for (const std::vector<int>& variables : groups_[at(c)])
      sets.emplace_back(variables.begin(), variables.end());
  std::vector<JointTable> tables;
  for (const std::vector<int>& variables : merged(std::move(sets))) {
    tables.push_back(component(a, b, variables));
    if (std::all_of(tables.back().p.begin(), tables.back().p.end(),
                    [](double p) { return p == 0.0; }))
      return false;
  }
  tables_[{a, b}] = std::move(tables);
  return true;
}

double BruteForce::with_base(const Sheet& answers) const {
  double p = 1.0;
  for (std::size_t slot = 0; slot < answers.size(); ++slot)
    if (answers[slot] >= 0) p *= base_.variables[at(variable_of_[slot])].base[at(answers[slot])];
  return p;
}

double BruteForce::with_causes(const Present& present, const Sheet& answers) const {
  Sheet rest = answers;
  double p = 1.0;
  for (const JointTable& table : tables_.at(present)) {
    p *= table.marginal(answers);
    for (const int slot : table.slots) rest[at(slot)] = -1;
  }
  return p * with_base(rest);
}

Present BruteForce::left(std::size_t h, const Known& known, std::size_t round) const {
  Present out = hypotheses_[h];
  for (std::size_t r = 1; r <= round; ++r)
    for (const int repair : known.rounds[r].opened_by)
      for (const int cured : base_.repairs[at(repair)].cures)
        out.erase(std::remove(out.begin(), out.end(), cured), out.end());
  return out;
}

double BruteForce::evidence(std::size_t h, const Known& known) const {
  double p = 1.0;
  for (std::size_t r = 0; r < known.rounds.size() && p > 0.0; ++r) {
    const Sheet& answers = known.rounds[r].answers;
    const bool not_listed = hypotheses_[h].empty();
    const Present present = left(h, known, r);
    const auto seen = [&](const Sheet& sheet) {
      return not_listed ? with_base(sheet) : with_causes(present, sheet);
    };
    const double given = r == 0 ? 1.0 : seen(known.vehicle);
    p = given > 0.0 ? p * seen(answers) / given : 0.0;
  }
  return p;
}

std::vector<double> BruteForce::posterior(const Known& known) const {
  std::vector<double> out;
  double z = 0.0;
  for (std::size_t h = 0; h < hypotheses_.size(); ++h)
    z += out.emplace_back(priors_[h] * evidence(h, known));
  for (double& p : out) p /= z;
  return out;
}

Belief BruteForce::belief(const Known& known) const {
  Belief out;
  const std::vector<double> posterior = this->posterior(known);
  out.alone.assign(base_.causes.size(), 0.0);
  out.present = out.alone;
  for (std::size_t h = 0; h < hypotheses_.size(); ++h) {
    const Present now = left(h, known, known.rounds.size() - 1);
    if (hypotheses_[h].size() == 1)
      out.log_odds.push_back(std::log(posterior[h] / posterior.back()));
    if (hypotheses_[h].empty())
      out.not_listed = posterior[h];
    else if (now.empty())
      out.nothing_left += posterior[h];
    for (const int c : now) out.present[at(c)] += posterior[h];
    if (now.size() == 1) out.alone[at(now[0])] += posterior[h];
    if (now.size() == 2) out.pairs[{now[0], now[1]}] += posterior[h];
  }
  return out;
}

Sheet BruteForce::draw(const Present& present, bool not_listed, const Sheet& known,
                       Lcg& random) const {
  Sheet out = known;
  // One slot after the other, each given those before it.
  for (std::size_t slot = 0; slot < out.size(); ++slot) {
    if (out[slot] >= 0) continue;
    const Variable& variable = base_.variables[at(variable_of_[slot])];
    std::vector<double> weights;
    for (int a = 0; a < variable.size(); ++a) {
      out[slot] = a;
      weights.push_back(not_listed ? with_base(out) : with_causes(present, out));
    }
    out[slot] = static_cast<int>(random.pick_weighted(weights));
  }
  return out;
}

}  // namespace perrev::testing
