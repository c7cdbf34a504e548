#include "engine/reasoning/reasons.h"

#include <algorithm>
#include <cmath>

namespace perrev {

namespace {

const double kDecibans = 10.0 / std::log(10.0);

struct Told {
  std::string fact;
  std::string value;
};

// The readings that a group rests on, in the order of facts and places.
std::vector<Told> readings_of(const RuleBase& base, const GroupTable& group,
                              const RoundFacts& round) {
  std::vector<Told> out;
  int last = -1;
  for (const int v : group.variables) {
    const Variable& variable = base.variables[static_cast<std::size_t>(v)];
    if (variable.fact == last) continue;
    for (const Reading& reading : round.readings) {
      if (reading.fact != variable.fact || reading.unsure) continue;
      const Fact& fact = base.facts[static_cast<std::size_t>(reading.fact)];
      std::string value = reading.text;
      if (fact.kind == FactKind::several && value.empty()) value = "none of these";
      if (reading.place >= 0)
        value = places_of(fact.per)[static_cast<std::size_t>(reading.place)] + " " + value;
      if (fact.limit >= 0)
        value += reading.answers[0] == 1   ? " (bad)"
                 : reading.answers[0] == 0 ? " (good)"
                                           : " (between the limits)";
      out.push_back({fact.id, value});
    }
    last = variable.fact;
  }
  return out;
}

// The rules that decided the sign of the weight, and the sentence for it.
void explain(const RuleBase& base, const GroupTable& group, const Answers& answers, Units units,
             Reason& reason) {
  std::vector<int> true_rules, false_rules;
  for (const GroupRule& rule : group.rules) {
    const Truth truth =
        truth_somewhere(base, base.rules[static_cast<std::size_t>(rule.rule)].when, answers);
    const bool agrees = (rule.log_ratio > 0.0) == (reason.weight_decibans > 0.0);
    if (truth == Truth::yes && agrees) true_rules.push_back(rule.rule);
    if (truth == Truth::no && !agrees) false_rules.push_back(rule.rule);
  }
  if (!true_rules.empty()) {
    reason.rules = true_rules;
    for (const int r : true_rules)
      reason.because +=
          (reason.because.empty() ? "" : " ") + base.rules[static_cast<std::size_t>(r)].because;
  } else if (!false_rules.empty()) {
    reason.rules = false_rules;
    const Condition& when = base.rules[static_cast<std::size_t>(false_rules.front())].when;
    reason.because = (reason.weight_decibans < 0.0 ? "One would rather expect: "
                                                   : "What speaks against it is absent: ") +
                     base.words(when, units) + ".";
  } else if (!group.needs.empty()) {
    reason.because = "The vehicle has what this cause needs.";
  } else {
    reason.because = "These answers together fit " +
                     std::string(reason.weight_decibans < 0.0 ? "less" : "more") + " often.";
  }
}

void add_groups(const Reasoner& reasoner, const CaseFacts& facts, std::size_t r, int cause,
                Units units, Reasons& out) {
  const RuleBase& base = reasoner.base();
  const RoundFacts& round = facts.rounds[r];
  for (const GroupTable& group : reasoner.answers().groups(cause)) {
    if (!reasoner.answers().anything_known(group, round.answers)) continue;
    const double before = r > 0 ? reasoner.answers().value(group, facts.vehicle) : 1.0;
    if (before == 0.0) continue;  // the vehicle rules it out: said in the first round
    const double weight = std::log(reasoner.answers().value(group, round.answers)) - std::log(before);
    if (weight == 0.0) continue;
    Reason reason;
    reason.round = r;
    reason.weight_decibans = weight * kDecibans;
    for (Told& told : readings_of(base, group, round)) {
      reason.facts.push_back(std::move(told.fact));
      reason.values.push_back(std::move(told.value));
    }
    if (std::isinf(weight))
      reason.because = "Cannot be on this vehicle.";
    else
      explain(base, group, round.answers, units, reason);
    out.evidence.push_back(std::move(reason));
  }
}

void add_providers(const Reasoner& reasoner, const CaseFacts& facts, std::size_t r, int cause,
                   Reasons& out) {
  for (const Provider* provider : reasoner.providers()) {
    const ProviderWeights said = provider->weigh(reasoner.base(), facts, r);
    if (said.facts.empty() || said.by_cause[static_cast<std::size_t>(cause)] == 0.0) continue;
    Reason reason;
    reason.round = r;
    reason.provider = provider->name();
    reason.weight_decibans = said.by_cause[static_cast<std::size_t>(cause)] * kDecibans;
    reason.because = said.because[static_cast<std::size_t>(cause)];
    for (const int fact : said.facts)
      for (const Reading& reading : facts.rounds[r].readings)
        if (reading.fact == fact && !reading.unsure) {
          reason.facts.push_back(reasoner.base().facts[static_cast<std::size_t>(fact)].id);
          reason.values.push_back(reading.text);
        }
    out.evidence.push_back(std::move(reason));
  }
}

}  // namespace

Reasons reasons_for(const Reasoner& reasoner, const CaseFacts& facts, int cause, Units units) {
  Reasons out;
  out.prior_decibans = (reasoner.log_prior(cause) - reasoner.log_prior_not_listed()) * kDecibans;
  const std::vector<std::vector<char>> present = present_by_round(reasoner.base(), facts);
  for (std::size_t r = 0; r < facts.rounds.size(); ++r) {
    const bool here = present[r][static_cast<std::size_t>(cause)] != 0;
    add_groups(reasoner, facts, r, here ? cause : reasoner.base().nothing_left(), units, out);
    if (here) add_providers(reasoner, facts, r, cause, out);
  }
  return out;
}

std::string name_of(CauseState state) {
  switch (state) {
    case CauseState::confirmed:
      return "confirmed";
    case CauseState::likely:
      return "likely";
    case CauseState::open:
      return "open";
    case CauseState::excluded:
      return "excluded";
  }
  return "";
}

CauseState state_of(const RuleBase& base, const CaseFacts& facts, const Ranked& ranked) {
  if (std::binary_search(facts.verdicts.begin(), facts.verdicts.end(), ranked.cause))
    return CauseState::confirmed;
  if (ranked.impossible) return CauseState::excluded;
  return ranked.probability >= base.likely_from ? CauseState::likely : CauseState::open;
}

}  // namespace perrev
