#include "engine/reasoning/weighed_round.h"

#include <cmath>
#include <limits>
#include <utility>

namespace perrev {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

double later(double with_symptoms, double of_vehicle) {
  return with_symptoms == kNever ? kNever : with_symptoms - of_vehicle;
}

// Two that answer as one of them does, over what was counted for each in pairs.
void times_provider(const Reasoner& reasoner, const Provider& provider, const ProviderWeights& said,
                    const KnownAnswers& told, PairFactors& pairs) {
  const RuleBase& base = reasoner.base();
  const AnswerModel& answers = reasoner.answers();
  const std::size_t causes = base.causes.size(), length = answers.length();
  const auto owns = [&](int variable) {
    return reasoner.owner_of(base.variables[static_cast<std::size_t>(variable)].fact) == &provider;
  };
  CauseRow says(length, 1.0), over(length, 1.0), models(length, 0.0), by(length);
  for (const KnownVariable& known : told.known)
    if (owns(known.variable)) {
      times(says.data(), known.row, 0, length);
      times(over.data(), reasoner.pairs().over_silence(known, by.data()), 0, length);
    }
  for (const int touched : told.touched) {
    const AnswerModel::GroupRef& group = answers.joint_groups()[static_cast<std::size_t>(touched)];
    if (!owns(answers.table(group).variables.front())) continue;
    const double value = told.joint_values[static_cast<std::size_t>(touched)];
    says[static_cast<std::size_t>(group.cause)] *= value;
    over[static_cast<std::size_t>(group.cause)] /= 0.5 * (value + 1.0);
  }
  for (std::size_t c = 0; c < causes; ++c) {
    if (!said.models[c]) continue;
    says[c] = std::exp(said.by_cause[c]);
    over[c] = models[c] = 1.0;
  }
  for (std::size_t a = 0; a < causes; ++a) {
    mean_over(by.data(), {says.data(), over.data(), models.data(), says[a], over[a], models[a]},
              PairRows::from(a), length);
    pairs.times_row(a, by.data());
  }
}

void add_providers(const Reasoner& reasoner, const CaseFacts& facts, std::size_t round,
                   const KnownAnswers& told, WeighedRound& weights) {
  for (const Provider* provider : reasoner.providers()) {
    weights.said.push_back(provider->weigh(reasoner.base(), facts, round));
    const ProviderWeights& said = weights.said.back();
    if (said.facts.empty()) continue;
    for (std::size_t c = 0; c < said.by_cause.size(); ++c) weights.single[c] += said.by_cause[c];
    if (!weights.pair.empty()) times_provider(reasoner, *provider, said, told, weights.pair);
  }
}

}  // namespace

std::vector<WeighedRound> weigh_rounds(const Reasoner& reasoner, const CaseFacts& facts,
                                       bool pairs) {
  const auto of = [&](const KnownAnswers& told) {
    WeighedRound made{reasoner.answers().log_weights(told), {}, {}};
    if (pairs) made.pair = reasoner.pairs().factors(told, made.single);
    return made;
  };
  std::vector<WeighedRound> out;
  WeighedRound vehicle;
  if (facts.rounds.size() > 1) vehicle = of(reasoner.answers().look_up(facts.vehicle));
  for (std::size_t r = 0; r < facts.rounds.size(); ++r) {
    const KnownAnswers told = reasoner.answers().look_up(facts.rounds[r].answers);
    out.push_back(of(told));
    if (r > 0) {
      for (std::size_t c = 0; c < vehicle.single.size(); ++c)
        out[r].single[c] = later(out[r].single[c], vehicle.single[c]);
      for (std::size_t c = 0; pairs && c < reasoner.base().causes.size(); ++c)
        out[r].pair.over_row(c, vehicle.pair);
    }
    add_providers(reasoner, facts, r, told, out[r]);
  }
  return out;
}

}  // namespace perrev
