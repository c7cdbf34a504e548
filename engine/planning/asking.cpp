#include "engine/planning/asking.h"

#include <algorithm>
#include <cmath>

#include "engine/planning/look_ahead.h"
#include "engine/reasoning/feature.h"
#include "engine/reasoning/next.h"

namespace perrev {

namespace {

constexpr double kWorthEntering = 0.01;  // bits
constexpr double kSameBits = 1e-9;       // what machines may round differently is no order

// Indices of checks, best first.
std::vector<int> checks_to_do(const Planner& planner, const CaseFacts& facts,
                              const Ranking& ranking, const Offers& offers, const Held& held,
                              Asker by) {
  std::vector<int> out;
  PlannerLimits limits;
  if (by == Asker::write_up) limits.checks = 0;
  const DecisionModel model = planner.model(facts, ranking, offers, held, limits);
  const auto add = [&](const Choice& choice) {
    if (choice.kind == Choice::Kind::check)
      out.push_back(model.checks[static_cast<std::size_t>(choice.index)].check);
  };
  if (by == Asker::write_up) {
    if (const auto question = worth_asking(model, outlook_of(model))) add(*question);
    return out;
  }
  for (const Choice& choice : choices_at(model, outlook_of(model))) {
    // Once something is shown, only what comes before its repair is worth its minutes.
    if (!facts.verdicts.empty() && choice.kind != Choice::Kind::check) return out;
    add(choice);
  }
  for (const NextCheck& next : next_steps(planner.reasoner(), facts, ranking, offers).checks)
    if (next.bits >= kWorthEntering && std::find(out.begin(), out.end(), next.check) == out.end())
      out.push_back(next.check);
  return out;
}

}  // namespace

std::vector<int> facts_to_ask(const Planner& planner, const CaseFacts& facts,
                              const Ranking& ranking, const Offers& offers, const Held& held,
                              Asker by, const std::function<bool(int)>& is_open) {
  const Reasoner& reasoner = planner.reasoner();
  const std::vector<Check>& checks = reasoner.base().checks;
  Offers here;
  for (const int c : offers.checks) {
    const Check& check = checks[static_cast<std::size_t>(c)];
    if (check.by == by && std::any_of(check.learns.begin(), check.learns.end(), is_open))
      here.checks.push_back(c);
  }
  std::vector<Hypothesis> alone = {{}};
  std::vector<double> mass = {ranking.not_listed};
  for (const Ranked& ranked : ranking.causes) {
    alone.push_back({ranked.cause, -1});
    mass.push_back(ranked.alone);
  }
  double total = 0.0;
  for (const double share : mass) total += share;
  for (double& share : mass) share /= total;
  Telling telling(reasoner, facts, alone, mass);
  std::vector<int> out;
  for (const int c : checks_to_do(planner, facts, ranking, here, held, by)) {
    std::vector<std::pair<double, int>> open;
    for (const int fact : checks[static_cast<std::size_t>(c)].learns)
      if (is_open(fact)) open.emplace_back(-std::round(telling.bits(fact, by) / kSameBits), fact);
    std::sort(open.begin(), open.end());
    for (const auto& [bits, fact] : open) out.push_back(fact);
  }
  return out;
}

}  // namespace perrev
