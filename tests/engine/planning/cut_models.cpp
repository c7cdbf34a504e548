#include "tests/engine/planning/cut_models.h"

#include <algorithm>
#include <sstream>
#include <stdexcept>
#include <utility>
#include <vector>

#include "engine/planning/check_outcomes.h"
#include "engine/providers/felt.h"
#include "engine/providers/orders.h"
#include "tests/engine/reasoning/lcg.h"

namespace perrev::testing {

namespace {

constexpr std::size_t kMostOutcomes = 4, kMostRepairs = 8;
constexpr double kPairs = 0.2;  // their share of the mass, where there are two faults

std::size_t at(int i) { return static_cast<std::size_t>(i); }

const Reasoner& reasoner() {
  static const FeltProvider felt;
  static const OrdersProvider orders;
  static const Reasoner made(shipped_rules(), {&felt, &orders});
  return made;
}

CaseFacts facts_or_throw(const CaseFile& file) {
  auto facts = facts_of(file, shipped_rules());
  if (!facts) throw std::runtime_error(facts.error().front().text());
  return std::move(facts).value();
}

// What somebody with `hidden` answers to up to `count` questions of one answer.
CaseFacts answered(Lcg& random, const Hypothesis& hidden, int count) {
  const RuleBase& base = shipped_rules();
  std::vector<int> open;
  for (std::size_t f = 0; f < base.facts.size(); ++f) {
    const Fact& fact = base.facts[f];
    if ((fact.kind == FactKind::one || fact.kind == FactKind::yesno) &&
        fact.per == Per::vehicle_case && !fact.stop && !fact.after_repair &&
        fact.is_asked_at(Asker::write_up) && fact.variable_count == 1)
      open.push_back(static_cast<int>(f));
  }
  random.shuffle(open);
  CaseFile file;
  CaseFacts facts = facts_or_throw(file);
  for (int i = 0; i < count && i < static_cast<int>(open.size()); ++i) {
    const Fact& fact = base.facts[at(open[at(i)])];
    const Variable& variable = base.variables[at(fact.first_variable)];
    Entry entry;
    entry.at = "2026-05-04T09:12:00Z";
    entry.fact = fact.id;
    const std::size_t answer = random.pick_weighted(prospect(
        reasoner(), hidden, fact.first_variable, at(variable.first_slot), facts.now().answers));
    entry.values = {fact.answers[answer].id};
    file.add(entry);
    facts = facts_or_throw(file);
  }
  return facts;
}

// `count` of the causes that can still be, as often as they are usual.
std::vector<int> some_causes(Lcg& random, const Ranking& ranking, int count) {
  std::vector<double> weights;
  for (const Cause& cause : shipped_rules().causes) weights.push_back(cause.usual);
  for (const Ranked& ranked : ranking.causes)
    if (ranked.impossible || ranked.alone <= 0.0) weights[at(ranked.cause)] = 0.0;
  std::vector<int> out;
  while (static_cast<int>(out.size()) < count) {
    const std::size_t cause = random.pick_weighted(weights);
    if (weights[cause] <= 0.0) break;
    out.push_back(static_cast<int>(cause));
    weights[cause] = 0.0;
  }
  std::sort(out.begin(), out.end());
  return out;
}

bool can_be(const Pair& pair, const CaseFacts& facts) {
  for (std::size_t v = 0; v < shipped_rules().variables.size(); ++v)
    if (facts.now().answers[at(shipped_rules().variables[v].first_slot)] >= 0 &&
        value_around(reasoner(), {pair.first, pair.second}, static_cast<int>(v),
                     facts.now().answers) <= 0.0)
      return false;
  return true;
}

void scale(std::vector<double>& mass, std::size_t from, double to_sum) {
  double total = 0.0;
  for (std::size_t h = from; h < mass.size(); ++h) total += mass[h];
  for (std::size_t h = from; h < mass.size(); ++h) mass[h] *= to_sum / total;
}

void add_hypotheses(const std::vector<int>& causes, const CaseFacts& facts, const Ranking& ranking,
                    bool two_faults, DecisionModel& model) {
  for (const int cause : causes) {
    model.hypotheses.push_back({cause, -1});
    model.mass.push_back(ranking.of(cause).alone);
  }
  scale(model.mass, 0, 1.0);
  const std::size_t singles = model.mass.size();
  if (two_faults)
    for (const Pair& pair : reasoner().pairs().pairs()) {
      const auto index = [&](int cause) {
        return static_cast<std::size_t>(std::find(causes.begin(), causes.end(), cause) -
                                        causes.begin());
      };
      const std::size_t a = index(pair.first), b = index(pair.second);
      if (a == singles || b == singles || !can_be(pair, facts)) continue;
      model.hypotheses.push_back({pair.first, pair.second});
      model.mass.push_back(model.mass[a] * model.mass[b]);
    }
  const double pairs = model.mass.size() > singles ? kPairs : 0.0;
  if (pairs > 0.0) scale(model.mass, singles, pairs);
  for (std::size_t h = 0; h < singles; ++h) model.mass[h] *= 1.0 - pairs - ranking.not_listed;
  for (std::size_t h = 0; h < singles; ++h) model.mass[h] = std::max(model.mass[h], 1e-6);
  model.hypotheses.push_back({-1, -1});
  model.mass.push_back(ranking.not_listed);
  scale(model.mass, 0, 1.0);
  for (const Hypothesis& hypothesis : model.hypotheses)
    model.handing_on.push_back(shipped_planner().handing_on_minutes(hypothesis));
}

void add_checks(Lcg& random, const CaseFacts& facts, int count, DecisionModel& model) {
  const RuleBase& base = shipped_rules();
  std::vector<double> weights;
  Telling telling(reasoner(), facts, model.hypotheses, model.mass);
  for (const Check& check : base.checks) weights.push_back(telling.spread(check));
  while (static_cast<int>(model.checks.size()) < count) {
    const std::size_t c = random.pick_weighted(weights);
    if (weights[c] <= 0.0) break;
    weights[c] = 0.0;
    CheckChoice made{static_cast<int>(c), base.checks[c].minutes, base.checks[c].setup, {}};
    made.outcomes = outcomes_of(reasoner(), facts, static_cast<int>(c), model.hypotheses,
                                model.mass, kMostOutcomes);
    if (made.outcomes.size() > 1) model.checks.push_back(std::move(made));
  }
}

// What is left of a hypothesis after some repairs, read a second time: cause by cause.
int left_of(const DecisionModel& model, std::size_t h, const std::vector<int>& repairs) {
  std::vector<int> left;
  for (const int cause : {model.hypotheses[h].first, model.hypotheses[h].second}) {
    bool cured = false;
    for (const int r : repairs) {
      const std::vector<int>& cures = shipped_rules().repairs[at(r)].cures;
      cured = cured || std::find(cures.begin(), cures.end(), cause) != cures.end();
    }
    if (cause >= 0 && !cured) left.push_back(cause);
  }
  if (model.hypotheses[h].first < 0) return static_cast<int>(h);
  if (left.empty()) return kFixed;
  const Hypothesis then{left[0], left.size() > 1 ? left[1] : -1};
  return static_cast<int>(std::find(model.hypotheses.begin(), model.hypotheses.end(), then) -
                          model.hypotheses.begin());
}

void add_repair(std::vector<int> repairs, DecisionModel& model) {
  const Planner& planner = shipped_planner();
  RepairChoice made{std::move(repairs), planner.safety_minutes() + planner.proof_minutes(), {}};
  for (const int r : made.repairs)
    made.minutes += planner.minutes_of(shipped_rules().repairs[at(r)]);
  for (std::size_t h = 0; h < model.hypotheses.size(); ++h)
    made.leaves.push_back(left_of(model, h, made.repairs));
  model.repairs.push_back(std::move(made));
}

void add_repairs(const std::vector<int>& causes, DecisionModel& model) {
  const RuleBase& base = shipped_rules();
  std::vector<int> singles;
  const auto add = [&](int repair) {
    if (singles.size() < kMostRepairs &&
        std::find(singles.begin(), singles.end(), repair) == singles.end())
      singles.push_back(repair);
  };
  for (const int cause : causes) add(base.causes[at(cause)].repair);
  for (std::size_t r = 0; r < base.repairs.size(); ++r)
    for (const int cause : causes)
      if (std::binary_search(base.repairs[r].cures.begin(), base.repairs[r].cures.end(), cause))
        add(static_cast<int>(r));
  for (const int repair : singles) add_repair({repair}, model);
  std::vector<std::vector<int>> both;
  for (const Hypothesis& pair : model.hypotheses) {
    if (pair.second < 0) continue;
    std::vector<int> two = {base.causes[at(pair.first)].repair,
                            base.causes[at(pair.second)].repair};
    std::sort(two.begin(), two.end());
    if (two[0] != two[1] && std::find(both.begin(), both.end(), two) == both.end())
      both.push_back(two);
  }
  for (const std::vector<int>& two : both) add_repair(two, model);
}

DecisionModel cut(Lcg& random, int causes, int checks, bool two_faults) {
  const RuleBase& base = shipped_rules();
  for (;;) {
    std::vector<double> usual;
    for (const Cause& cause : base.causes) usual.push_back(cause.usual);
    const Hypothesis hidden{static_cast<int>(random.pick_weighted(usual)), -1};
    const CaseFacts facts = answered(random, hidden, random.chance(0.5) ? random.between(1, 6) : 0);
    const Ranking ranking = rank(reasoner(), facts);
    const std::vector<int> chosen = some_causes(random, ranking, causes);
    if (static_cast<int>(chosen.size()) < causes) continue;
    DecisionModel out;
    out.set_ups = shipped_planner().set_ups();
    out.after_repair = shipped_planner().after_repair();
    add_hypotheses(chosen, facts, ranking, two_faults, out);
    add_checks(random, facts, checks, out);
    if (static_cast<int>(out.checks.size()) < checks) continue;
    add_repairs(chosen, out);
    if (random.chance(0.5)) out.held = out.set_ups.with({}, random.pick(out.checks).setup);
    return out;
  }
}

// Seeds that follow each other would begin nearly alike.
std::uint64_t spread(std::uint64_t seed) { return seed * 0x9E3779B97F4A7C15ULL; }

}  // namespace

const Planner& shipped_planner() {
  static const Planner planner(reasoner());
  return planner;
}

DecisionModel single_fault_cut(std::uint64_t seed) {
  Lcg random(spread(seed));
  // The exact optimum of 7 checks takes seconds where there are many causes.
  const int checks = 5 + static_cast<int>(random.pick_weighted({0.55, 0.4, 0.05}));
  const int causes = random.between(6, checks == 7 ? 6 : 8);
  return cut(random, causes, checks, false);
}

DecisionModel two_fault_cut(std::uint64_t seed) {
  Lcg random(spread(seed + 1000000));
  return cut(random, 5, 4, true);
}

std::string name_of(const Hypothesis& hypothesis) {
  const RuleBase& base = shipped_rules();
  if (hypothesis.first < 0) return "not_listed";
  std::string out = base.causes[at(hypothesis.first)].id;
  if (hypothesis.second >= 0) out += " + " + base.causes[at(hypothesis.second)].id;
  return out;
}

std::string name_of(const DecisionModel& model, const Choice& choice) {
  if (choice.kind == Choice::Kind::hand_on) return "hand on";
  if (choice.kind == Choice::Kind::check)
    return "check " + shipped_rules().checks[at(model.checks[at(choice.index)].check)].id;
  std::string out = "repair";
  for (const int r : model.repairs[at(choice.index)].repairs)
    out += " " + shipped_rules().repairs[at(r)].id;
  return out;
}

std::string text_of(const DecisionModel& model) {
  std::ostringstream out;
  out.precision(4);
  for (std::size_t h = 0; h < model.hypotheses.size(); ++h)
    out << "  " << name_of(model.hypotheses[h]) << ": " << model.mass[h] << ", handed on "
        << model.handing_on[h] << "\n";
  for (std::size_t r = 0; r < model.repairs.size(); ++r)
    out << "  " << name_of(model, {Choice::Kind::repair, static_cast<int>(r), 0.0}) << ": "
        << model.repairs[r].minutes << " min\n";
  for (std::size_t c = 0; c < model.checks.size(); ++c) {
    const CheckChoice& check = model.checks[c];
    out << "  " << name_of(model, {Choice::Kind::check, static_cast<int>(c), 0.0}) << ": "
        << check.minutes << " min";
    if (check.setup >= 0) out << " after " << shipped_rules().setups[at(check.setup)].id;
    out << "\n";
    for (const std::vector<double>& row : check.outcomes) {
      out << "   ";
      for (const double p : row) out << " " << p;
      out << "\n";
    }
  }
  return out.str();
}

}  // namespace perrev::testing
