#include "engine/reasoning/reasons.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace perrev {

namespace {

const double kDecibans = 10.0 / std::log(10.0);

// Where the limit of a fact comes from; classes may differ.
std::string limit_origin(const RuleBase& base, const Fact& fact) {
  std::string out;
  for (const LimitClass& row : base.limits[static_cast<std::size_t>(fact.limit)].classes)
    if (out.find(row.origin) == std::string::npos) out += (out.empty() ? "" : "; ") + row.origin;
  return "limit of " + fact.id + ": " + out;
}

// Of a fact of kind several with no answer ticked there is no text.
std::string text_of(const Reading& reading) { return reading.text.empty() ? "none" : reading.text; }

// What a group rests on, in the order of facts and places. Of a fact of kind several only the
// answers that the group speaks of.
void tell_readings(const RuleBase& base, const GroupTable& group, const RoundFacts& round,
                   ReasonWords& out) {
  for (const Reading& reading : round.readings) {
    if (reading.unsure) continue;
    const Fact& fact = base.facts[static_cast<std::size_t>(reading.fact)];
    std::string value;
    bool mentioned = false;
    for (const int v : group.variables) {
      const Variable& variable = base.variables[static_cast<std::size_t>(v)];
      if (variable.fact != reading.fact) continue;
      mentioned = true;
      if (variable.answer < 0) continue;
      const std::size_t answer = static_cast<std::size_t>(variable.answer);
      value += (value.empty() ? "" : ", ") +
               std::string(reading.answers[answer] == 1 ? "" : "not ") + fact.answers[answer].id;
    }
    if (!mentioned) continue;
    if (value.empty()) value = text_of(reading);
    if (reading.place >= 0)
      value = places_of(fact.per)[static_cast<std::size_t>(reading.place)] + " " + value;
    if (fact.limit >= 0) out.origins.push_back(limit_origin(base, fact));
    if (fact.limit >= 0)
      value += reading.answers[0] == 1   ? " (bad)"
               : reading.answers[0] == 0 ? " (good)"
                                         : " (between the limits)";
    out.facts.push_back(fact.id);
    out.values.push_back(value);
  }
}

// The rules that decided the sign of the weight, and the sentence for it.
void explain(const RuleBase& base, const GroupTable& group, const Answers& answers, double weight,
             Units units, ReasonWords& out) {
  std::vector<int> were_true, were_not;
  for (const GroupRule& rule : group.rules) {
    const Truth truth =
        truth_somewhere(base, base.rules[static_cast<std::size_t>(rule.rule)].when, answers);
    const bool agrees = (rule.log_ratio > 0.0) == (weight > 0.0);
    if (truth == Truth::yes && agrees) were_true.push_back(rule.rule);
    if (truth == Truth::no && !agrees) were_not.push_back(rule.rule);
  }
  if (!were_true.empty()) {
    out.rules = were_true;
    for (const int r : were_true)
      out.because +=
          (out.because.empty() ? "" : " ") + base.rules[static_cast<std::size_t>(r)].because;
  } else if (!were_not.empty()) {
    out.rules = were_not;
    std::string absent;
    for (const int r : were_not)
      absent += (absent.empty() ? "" : "; or ") +
                base.words(base.rules[static_cast<std::size_t>(r)].when, units);
    out.because = (weight < 0.0 ? "More usual with this cause: "
                                : "It would speak against it and is not so: ") +
                  absent + ".";
  } else if (!group.needs.empty()) {
    out.because = "The vehicle has what this cause needs.";
  } else {
    out.because = std::string("These answers go together ") + (weight < 0.0 ? "less" : "more") +
                  " often with this cause.";
  }
}

// Natural logarithms of the values of groups for what is known. For many causes the rows of single
// variables, which all share, are made once.
class GroupLogs {
 public:
  GroupLogs(const AnswerModel& model, const Answers& answers, bool of_many)
      : model_(model), answers_(answers), of_many_(of_many) {
    if (!of_many) return;
    const std::size_t variables = model.base().variables.size();
    rows_.assign(variables, nullptr);
    rooms_.resize(variables);
    for (std::size_t v = 0; v < variables; ++v)
      if (model.anything_known(static_cast<int>(v), answers)) rows_[v] = row(static_cast<int>(v));
  }
  GroupLogs(const GroupLogs&) = delete;  // rows may stand in rooms
  GroupLogs& operator=(const GroupLogs&) = delete;

  // Of a group of `present`; exactly 0 where nothing in it is known.
  double of(int present, const GroupTable& group) const {
    if (!group.single())
      return model_.anything_known(group, answers_) ? std::log(model_.value(group, answers_)) : 0.0;
    if (!of_many_)
      return model_.anything_known(group, answers_)
                 ? std::log(model_.known_value(group.variables[0], present, answers_))
                 : 0.0;
    const double* known = rows_[static_cast<std::size_t>(group.variables[0])];
    return known ? known[present] : 0.0;
  }

 private:
  const double* row(int variable) {
    const Variable& v = model_.base().variables[static_cast<std::size_t>(variable)];
    if (v.slots == 1)
      return model_.log_row(variable, answers_[static_cast<std::size_t>(v.first_slot)]);
    CauseRow& room = rooms_[static_cast<std::size_t>(variable)];
    room.resize(model_.length());
    model_.known_row(variable, answers_, room.data());
    for (double& value : room) value = value == 1.0 ? 0.0 : std::log(value);
    return room.data();
  }

  const AnswerModel& model_;
  const Answers& answers_;
  bool of_many_;
  std::vector<const double*> rows_;
  std::vector<CauseRow> rooms_;
};

// What one round says of each cause. Later rounds are weighed given what is known of the vehicle.
class RoundWeights {
 public:
  RoundWeights(const Reasoner& reasoner, const CaseFacts& facts, std::size_t round,
               const std::vector<ProviderWeights>& said, const GroupLogs& vehicle, bool of_many)
      : reasoner_(reasoner),
        round_(round),
        seen_(reasoner.answers(), facts.rounds[round].answers, of_many),
        vehicle_(vehicle),
        said_(said) {}

  void add(int cause, int present, std::vector<Reason>& out) const {
    const std::vector<GroupTable>& groups = reasoner_.answers().groups(present);
    out.reserve(out.size() + groups.size());
    for (std::size_t g = 0; g < groups.size(); ++g) {
      const double before = round_ > 0 ? vehicle_.of(present, groups[g]) : 0.0;
      if (std::isinf(before)) continue;  // cannot be on this vehicle: said in the first round
      const double weight = seen_.of(present, groups[g]) - before;
      if (weight != 0.0)
        out.push_back({round_, present, static_cast<int>(g), nullptr, kDecibans * weight});
    }
    if (present != cause) return;
    for (std::size_t p = 0; p < said_.size(); ++p)
      if (!said_[p].facts.empty() && said_[p].by_cause[static_cast<std::size_t>(cause)] != 0.0)
        out.push_back({round_, cause, -1, reasoner_.providers()[p],
                       kDecibans * said_[p].by_cause[static_cast<std::size_t>(cause)]});
  }

 private:
  const Reasoner& reasoner_;
  std::size_t round_;
  const GroupLogs seen_;
  const GroupLogs& vehicle_;
  const std::vector<ProviderWeights>& said_;
};

constexpr std::size_t kMany = 8;  // causes

std::vector<std::vector<ProviderWeights>> said_by_providers(const Reasoner& reasoner,
                                                            const CaseFacts& facts) {
  std::vector<std::vector<ProviderWeights>> out(facts.rounds.size());
  for (std::size_t r = 0; r < out.size(); ++r)
    for (const Provider* provider : reasoner.providers())
      out[r].push_back(provider->weigh(reasoner.base(), facts, r));
  return out;
}

std::vector<Reasons> made_reasons(const Reasoner& reasoner, const CaseFacts& facts,
                                  const std::vector<std::vector<ProviderWeights>>& said,
                                  const std::vector<int>& causes) {
  std::vector<Reasons> out;
  for (const int cause : causes)
    out.push_back(
        {cause, (reasoner.log_prior(cause) - reasoner.log_prior_not_listed()) * kDecibans, {}});
  const bool many = causes.size() >= kMany;
  const std::vector<std::vector<char>> present = present_by_round(reasoner.base(), facts);
  const GroupLogs vehicle(reasoner.answers(), facts.vehicle, many);
  for (std::size_t r = 0; r < facts.rounds.size(); ++r) {
    const RoundWeights weights(reasoner, facts, r, said[r], vehicle, many);
    for (Reasons& of : out)
      weights.add(of.cause,
                  present[r][static_cast<std::size_t>(of.cause)] ? of.cause
                                                                 : reasoner.base().nothing_left(),
                  of.evidence);
  }
  return out;
}

}  // namespace

std::vector<Reasons> reasons_of(const Reasoner& reasoner, const CaseFacts& facts,
                                const Ranking& ranking, const std::vector<int>& causes) {
  return made_reasons(reasoner, facts, ranking.said, causes);
}

Reasons reasons_for(const Reasoner& reasoner, const CaseFacts& facts, int cause) {
  return made_reasons(reasoner, facts, said_by_providers(reasoner, facts), {cause}).front();
}

std::vector<Reasons> all_reasons(const Reasoner& reasoner, const CaseFacts& facts) {
  std::vector<int> causes(reasoner.base().causes.size());
  std::iota(causes.begin(), causes.end(), 0);
  return made_reasons(reasoner, facts, said_by_providers(reasoner, facts), causes);
}

ReasonWords words_of(const Reasoner& reasoner, const CaseFacts& facts, const Reasons& of,
                     const Reason& reason, Units units) {
  const RuleBase& base = reasoner.base();
  const RoundFacts& round = facts.rounds[reason.round];
  ReasonWords out;
  if (reason.provider) {
    out.because = reason.provider->because(base, facts, reason.round, of.cause);
    for (const int fact : reason.provider->weigh(base, facts, reason.round).facts)
      for (const Reading& reading : round.readings)
        if (reading.fact == fact && !reading.unsure) {
          out.facts.push_back(base.facts[static_cast<std::size_t>(fact)].id);
          out.values.push_back(text_of(reading));
        }
    return out;
  }
  const GroupTable& group =
      reasoner.answers().groups(reason.cause)[static_cast<std::size_t>(reason.group)];
  tell_readings(base, group, round, out);
  if (std::isinf(reason.weight_decibans))
    out.because = "It cannot be on this vehicle.";
  else
    explain(base, group, round.answers, reason.weight_decibans, units, out);
  for (const int rule : out.rules) {
    const std::string& origin = base.rules[static_cast<std::size_t>(rule)].origin;
    if (std::find(out.origins.begin(), out.origins.end(), origin) == out.origins.end())
      out.origins.push_back(origin);
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
