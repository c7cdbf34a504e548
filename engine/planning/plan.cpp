#include "engine/planning/plan.h"

#include <algorithm>
#include <utility>

#include "engine/planning/expected_cost.h"

namespace perrev {

namespace {

constexpr std::size_t kCausesTold = 3;
constexpr std::size_t kLongestPath = 12;

// As good as known what is wrong.
constexpr double kSure = 0.9;

double share_of(const DecisionModel& model, const std::vector<double>& mass, int cause) {
  double out = 0.0;
  for (std::size_t h = 0; h < mass.size(); ++h)
    if (model.hypotheses[h].first == cause || model.hypotheses[h].second == cause) out += mass[h];
  return out;
}

std::vector<double> after(const std::vector<double>& mass, const std::vector<double>& outcome,
                          double& probability) {
  std::vector<double> out = mass;
  probability = 0.0;
  for (std::size_t h = 0; h < out.size(); ++h) probability += out[h] *= outcome[h];
  for (double& m : out) m /= probability;
  return out;
}

double cured_by(const Outlook& outlook, const RepairChoice& repair) {
  double out = 0.0;
  for (std::size_t h = 0; h < outlook.mass.size(); ++h)
    if (repair.leaves[h] == kFixed) out += outlook.mass[h];
  return out;
}

PlannedStep step_of(const DecisionModel& model, const Outlook& outlook, const Choice& choice,
                    const std::vector<int>& first) {
  PlannedStep out;
  out.kind = choice.kind;
  out.expected = choice.minutes;
  if (choice.kind == Choice::Kind::repair) {
    const RepairChoice& repair = model.repairs[static_cast<std::size_t>(choice.index)];
    out.repairs = repair.repairs;
    out.minutes = repair.minutes;
    out.cures = cured_by(outlook, repair);
  } else if (choice.kind == Choice::Kind::check) {
    const CheckChoice& check = model.checks[static_cast<std::size_t>(choice.index)];
    out.check = check.check;
    out.minutes = check.minutes + model.set_ups.minutes(outlook.held, check.setup);
    for (const std::vector<double>& outcome : check.outcomes) {
      PlannedOutcome made;
      const std::vector<double> then = after(outlook.mass, outcome, made.probability);
      for (const int cause : first) made.causes_after.push_back(share_of(model, then, cause));
      out.outcomes.push_back(std::move(made));
    }
    std::sort(out.outcomes.begin(), out.outcomes.end(),
              [](const PlannedOutcome& a, const PlannedOutcome& b) {
                if (a.probability != b.probability) return a.probability > b.probability;
                return a.causes_after > b.causes_after;
              });
  } else {
    out.minutes = choice.minutes;
  }
  return out;
}

// Where a step leads if it shows what is most probable; false when the matter ends there.
bool go_on(const DecisionModel& model, const Choice& choice, Outlook& outlook) {
  if (choice.kind != Choice::Kind::check) return false;
  const CheckChoice& check = model.checks[static_cast<std::size_t>(choice.index)];
  std::vector<double> best;
  double most = 0.0;
  for (const std::vector<double>& outcome : check.outcomes) {
    double probability = 0.0;
    std::vector<double> then = after(outlook.mass, outcome, probability);
    if (probability <= most) continue;
    most = probability;
    best = std::move(then);
  }
  outlook.mass = std::move(best);
  outlook.held = model.set_ups.with(outlook.held, check.setup);
  outlook.done[static_cast<std::size_t>(choice.index)] = 1;
  return true;
}

// The vehicle is as good as known: what a check would save before the repair nobody would notice.
void put_sure_repair_first(const DecisionModel& model, const Outlook& outlook,
                           std::vector<Choice>& choices) {
  const auto repair = std::find_if(choices.begin(), choices.end(), [](const Choice& choice) {
    return choice.kind == Choice::Kind::repair;
  });
  if (repair == choices.end() || repair->minutes - choices.front().minutes >= kHardlyTold) return;
  const RepairChoice& of = model.repairs[static_cast<std::size_t>(repair->index)];
  if (cured_by(outlook, of) >= kSure) std::rotate(choices.begin(), repair, repair + 1);
}

std::vector<Choice> choices_now(const DecisionModel& model, const Outlook& outlook) {
  std::vector<Choice> choices = choices_at(model, outlook);
  put_sure_repair_first(model, outlook, choices);
  return choices;
}

}  // namespace

Plan plan_of(const Planner& planner, const CaseFacts& facts, const Ranking& ranking,
             const Offers& offers, const Held& held, std::size_t listed) {
  Plan out;
  out.held = held;
  for (std::size_t i = 0; i < kCausesTold && i < ranking.causes.size(); ++i)
    out.first.push_back(ranking.causes[i].cause);
  const DecisionModel model = planner.model(facts, ranking, offers, held);
  Outlook outlook = outlook_of(model);
  std::vector<Choice> choices = choices_now(model, outlook);
  ExpectedCost cost(model);
  out.repair_at_once = cost.minutes(model.mass);
  out.if_known = cost.minutes_if_known(model.mass);
  out.expected = choices.front().minutes;
  for (const Choice& choice : choices) out.expected = std::min(out.expected, choice.minutes);
  for (std::size_t i = 0; i < choices.size() && i < listed; ++i)
    out.next.push_back(step_of(model, outlook, choices[i], out.first));
  while (out.path.size() < kLongestPath) {
    out.path.push_back(step_of(model, outlook, choices.front(), out.first));
    if (!go_on(model, choices.front(), outlook)) break;
    choices = choices_at(model, outlook);
  }
  return out;
}

PlannedStep first_step(const Planner& planner, const CaseFacts& facts, const Ranking& ranking,
                       const Offers& offers, const Held& held) {
  const DecisionModel model = planner.model(facts, ranking, offers, held);
  const Outlook outlook = outlook_of(model);
  return step_of(model, outlook, choices_now(model, outlook).front(), {});
}

std::vector<StillOpen> still_open_after(const RuleBase& base, const Ranking& ranking, int repair,
                                        double least) {
  const std::vector<int>& cures = base.repairs[static_cast<std::size_t>(repair)].cures;
  const auto cured = [&](int cause) {
    return std::binary_search(cures.begin(), cures.end(), cause);
  };
  double there = 0.0;
  for (const int cause : cures) there += ranking.of(cause).probability;
  std::vector<double> beside(base.causes.size(), 0.0);
  for (const RankedPair& pair : ranking.pairs) {
    if (cured(pair.first) && cured(pair.second)) there -= pair.probability;  // counted twice
    if (cured(pair.first) == cured(pair.second)) continue;
    beside[static_cast<std::size_t>(cured(pair.first) ? pair.second : pair.first)] +=
        pair.probability;
  }
  std::vector<StillOpen> out;
  for (std::size_t c = 0; c < beside.size(); ++c)
    if (there > 0.0 && beside[c] >= least * there)
      out.push_back({static_cast<int>(c), beside[c] / there});
  std::sort(out.begin(), out.end(), [](const StillOpen& a, const StillOpen& b) {
    return a.probability != b.probability ? a.probability > b.probability : a.cause < b.cause;
  });
  return out;
}

Held held_now(const Planner& planner, const CaseFile& file, const CaseFacts& facts) {
  const RuleBase& base = planner.reasoner().base();
  const auto in_force = [&](std::size_t i) {
    const std::vector<Reading>& readings = facts.now().readings;
    return std::any_of(readings.begin(), readings.end(),
                       [&](const Reading& reading) { return reading.entry == i; });
  };
  const Entry* latest = nullptr;
  for (std::size_t i = 0; i < file.entries().size(); ++i) {
    const Entry& entry = file.entries()[i];
    if (entry.by == Asker::write_up || entry.kind == Entry::Kind::retraction) continue;
    if (entry.kind == Entry::Kind::answer && !in_force(i)) continue;
    if (!latest || latest->key() < entry.key()) latest = &entry;
  }
  if (!latest || latest->kind != Entry::Kind::answer) return {};
  const int fact = base.fact_index(latest->fact);
  int setup = -1;
  bool any = false;
  for (const Check& check : base.checks) {
    if (check.by != latest->by ||
        std::find(check.learns.begin(), check.learns.end(), fact) == check.learns.end())
      continue;
    if (any && check.setup != setup) return {};
    any = true;
    setup = check.setup;
  }
  return planner.set_ups().with({}, setup);
}

}  // namespace perrev
