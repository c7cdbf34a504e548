#include "engine/reasoning/ranking.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>
#include <utility>

namespace perrev {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();
constexpr double kLeastPairShown = 1e-4;
constexpr double kNegligible = -80.0;  // a pair by a factor of 1e-35 below the best is nothing

// The weights of one round, each relative to not_listed.
struct RoundWeights {
  std::vector<double> single;  // by cause, then nothing_left
  std::vector<double> pair;
};

double later(double with_symptoms, double of_vehicle) {
  return with_symptoms == kNever ? kNever : with_symptoms - of_vehicle;
}

bool owns(const Reasoner& reasoner, const Provider& provider, int variable) {
  return reasoner.owner_of(reasoner.base().variables[static_cast<std::size_t>(variable)].fact) ==
         &provider;
}

double mean_of_logs(double a, double b) {
  if (a == b) return a;
  const double top = std::max(a, b);
  return top + std::log(0.5 * (std::exp(a - top) + std::exp(b - top)));
}

void add_providers(const Reasoner& reasoner, const CaseFacts& facts, std::size_t round,
                   RoundWeights& weights) {
  const Answers& answers = facts.rounds[round].answers;
  for (const Provider* provider : reasoner.providers()) {
    const ProviderWeights said = provider->weigh(reasoner.base(), facts, round);
    if (said.facts.empty()) continue;
    for (std::size_t c = 0; c < said.by_cause.size(); ++c) weights.single[c] += said.by_cause[c];
    if (weights.pair.empty()) continue;
    // Of each member: what it says of the provider's facts, and what was counted for it in pairs.
    std::vector<double> says = owned_log_weights(reasoner, *provider, answers), counted = says;
    for (std::size_t c = 0; c < said.by_cause.size(); ++c) {
      if (said.models[c]) says[c] = said.by_cause[c];
      counted[c] = says[c] == 0.0 || said.models[c]
                       ? 0.0
                       : reasoner.pairs().log_beside_silence(
                             static_cast<int>(c), answers,
                             [&](int variable) { return owns(reasoner, *provider, variable); });
    }
    const std::vector<Pair>& pairs = reasoner.pairs().pairs();
    for (std::size_t p = 0; p < pairs.size(); ++p) {
      const std::size_t a = static_cast<std::size_t>(pairs[p].first),
                        b = static_cast<std::size_t>(pairs[p].second);
      if (!said.models[a] && !said.models[b]) continue;
      weights.pair[p] += mean_of_logs(says[a], says[b]) - counted[a] - counted[b];
    }
  }
}

// Each round's own: later rounds given the facts that last with the vehicle. `pairs` empty where
// they are not wanted.
std::vector<RoundWeights> weigh(const Reasoner& reasoner, const CaseFacts& facts, bool pairs) {
  const auto of = [&](const Answers& answers) {
    RoundWeights made{reasoner.answers().log_weights(answers), {}};
    if (pairs) made.pair = reasoner.pairs().log_weights(answers, made.single);
    return made;
  };
  std::vector<RoundWeights> out;
  RoundWeights vehicle;
  if (facts.rounds.size() > 1) vehicle = of(facts.vehicle);
  for (std::size_t r = 0; r < facts.rounds.size(); ++r) {
    out.push_back(of(facts.rounds[r].answers));
    if (r > 0) {
      for (std::size_t c = 0; c < vehicle.single.size(); ++c)
        out[r].single[c] = later(out[r].single[c], vehicle.single[c]);
      for (std::size_t p = 0; p < vehicle.pair.size(); ++p)
        out[r].pair[p] = later(out[r].pair[p], vehicle.pair[p]);
    }
    add_providers(reasoner, facts, r, out[r]);
  }
  return out;
}

}  // namespace

Reasoner::Reasoner(const RuleBase& base, std::vector<const Provider*> providers)
    : base_(&base),
      providers_(std::move(providers)),
      owner_(base.facts.size(), nullptr),
      answers_(base),
      pairs_(answers_) {
  for (const Provider* provider : providers_)
    for (const int fact : provider->facts(base)) owner_[static_cast<std::size_t>(fact)] = provider;
  double usual = 0.0, both = 0.0;
  for (const Cause& cause : base.causes) usual += cause.usual;
  const auto weight = [&](const Pair& pair) {
    return base.causes[static_cast<std::size_t>(pair.first)].usual *
           base.causes[static_cast<std::size_t>(pair.second)].usual;
  };
  for (const Pair& pair : pairs_.pairs()) both += weight(pair);
  const double pair_share = both > 0.0 ? base.shares.pairs : 0.0;
  const double single_share = 1.0 - base.shares.not_listed - pair_share;
  log_prior_not_listed_ = std::log(base.shares.not_listed);
  for (const Cause& cause : base.causes)
    log_prior_.push_back(std::log(single_share * cause.usual / usual));
  for (const Pair& pair : pairs_.pairs())
    log_prior_pair_.push_back(pair_share > 0.0 ? std::log(pair_share * weight(pair) / both)
                                               : kNever);
}

std::vector<double> owned_log_weights(const Reasoner& reasoner, const Provider& provider,
                                      const Answers& answers) {
  const AnswerModel& model = reasoner.answers();
  std::vector<double> out(reasoner.base().causes.size(), 0.0);
  for (std::size_t c = 0; c < out.size(); ++c)
    for (const GroupTable& group : model.groups(static_cast<int>(c)))
      if (owns(reasoner, provider, group.variables.front()) && model.anything_known(group, answers))
        out[c] += std::log(model.value(group, answers));
  return out;
}

const Ranked& Ranking::of(int cause) const {
  return *std::find_if(causes.begin(), causes.end(),
                       [&](const Ranked& r) { return r.cause == cause; });
}

std::vector<std::vector<char>> present_by_round(const RuleBase& base, const CaseFacts& facts) {
  std::vector<std::vector<char>> present(facts.rounds.size(),
                                         std::vector<char>(base.causes.size(), 1));
  for (std::size_t r = 1; r < facts.rounds.size(); ++r) {
    present[r] = present[r - 1];
    for (const int repair : facts.rounds[r].opened_by)
      for (const int cured : base.repairs[static_cast<std::size_t>(repair)].cures)
        present[r][static_cast<std::size_t>(cured)] = 0;
  }
  return present;
}

namespace {

// Natural logarithms of prior times likelihood, by cause; what is cured was there in the rounds
// before.
std::vector<double> weigh_single(const Reasoner& reasoner,
                                 const std::vector<std::vector<char>>& present,
                                 const std::vector<RoundWeights>& weights) {
  const std::size_t causes = reasoner.base().causes.size();
  std::vector<double> out;
  for (std::size_t c = 0; c < causes; ++c) {
    out.push_back(reasoner.log_prior(static_cast<int>(c)));
    for (std::size_t r = 0; r < weights.size(); ++r)
      out[c] += weights[r].single[present[r][c] ? c : causes];
  }
  return out;
}

}  // namespace

std::vector<double> log_odds(const Reasoner& reasoner, const CaseFacts& facts) {
  std::vector<double> out = weigh_single(reasoner, present_by_round(reasoner.base(), facts),
                                         weigh(reasoner, facts, false));
  for (double& x : out) x -= reasoner.log_prior_not_listed();
  return out;
}

Ranking rank(const Reasoner& reasoner, const CaseFacts& facts) {
  const RuleBase& base = reasoner.base();
  const std::vector<Pair>& pairs = reasoner.pairs().pairs();
  const std::size_t causes = base.causes.size(), rounds = facts.rounds.size();
  const std::vector<std::vector<char>> present = present_by_round(base, facts);

  const std::vector<RoundWeights> weights = weigh(reasoner, facts, true);
  std::vector<double> single = weigh_single(reasoner, present, weights), pair(pairs.size());
  for (std::size_t p = 0; p < pairs.size(); ++p) pair[p] = reasoner.log_prior_pair(p);
  for (std::size_t r = 0; r < rounds; ++r) {
    const RoundWeights& seen = weights[r];
    const auto left = [&](std::size_t c) {
      return present[r][c] ? seen.single[c] : seen.single[causes];
    };
    for (std::size_t p = 0; p < pairs.size(); ++p) {
      const std::size_t a = static_cast<std::size_t>(pairs[p].first),
                        b = static_cast<std::size_t>(pairs[p].second);
      if (present[r][a] && present[r][b])
        pair[p] += seen.pair[p];
      else
        pair[p] += present[r][a] ? seen.single[a] : left(b);
    }
  }

  const double not_listed = reasoner.log_prior_not_listed();
  double top = not_listed;
  for (const double x : single) top = std::max(top, x);
  for (const double x : pair) top = std::max(top, x);
  double total = std::exp(not_listed - top);
  for (double& x : pair) total += x = x - top < kNegligible ? 0.0 : std::exp(x - top);
  Ranking out;
  out.round = rounds - 1;
  out.log_odds = single;
  for (double& x : out.log_odds) x -= not_listed;
  for (double& x : single) total += x = std::exp(x - top);

  const std::vector<char>& now = present.back();
  out.not_listed = std::exp(not_listed - top) / total;
  for (std::size_t c = 0; c < causes; ++c) {
    Ranked ranked{static_cast<int>(c), 0.0, 0.0, single[c] == 0.0 && out.log_odds[c] == kNever};
    if (now[c])
      ranked.probability = ranked.alone = single[c] / total;
    else
      out.nothing_left += single[c] / total;
    out.causes.push_back(ranked);
  }
  for (std::size_t p = 0; p < pairs.size(); ++p) {
    const double share = pair[p] / total;
    if (share <= 0.0) continue;
    const std::size_t a = static_cast<std::size_t>(pairs[p].first),
                      b = static_cast<std::size_t>(pairs[p].second);
    if (now[a]) out.causes[a].probability += share;
    if (now[b]) out.causes[b].probability += share;
    if (now[a] && now[b]) {
      if (share >= kLeastPairShown) out.pairs.push_back({pairs[p].first, pairs[p].second, share});
    } else if (now[a] || now[b]) {
      out.causes[now[a] ? a : b].alone += share;
    } else {
      out.nothing_left += share;
    }
  }
  const auto confirmed = [&](const Ranked& x) {
    return std::binary_search(facts.verdicts.begin(), facts.verdicts.end(), x.cause);
  };
  std::sort(out.causes.begin(), out.causes.end(), [&](const Ranked& x, const Ranked& y) {
    if (confirmed(x) != confirmed(y)) return confirmed(x);
    if (x.probability != y.probability) return x.probability > y.probability;
    return base.causes[static_cast<std::size_t>(x.cause)].id <
           base.causes[static_cast<std::size_t>(y.cause)].id;
  });
  std::sort(out.pairs.begin(), out.pairs.end(), [&](const RankedPair& x, const RankedPair& y) {
    if (x.probability != y.probability) return x.probability > y.probability;
    const auto id = [&](int cause) -> const std::string& {
      return base.causes[static_cast<std::size_t>(cause)].id;
    };
    return std::tie(id(x.first), id(x.second)) < std::tie(id(y.first), id(y.second));
  });
  return out;
}

}  // namespace perrev
