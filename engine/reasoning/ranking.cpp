#include "engine/reasoning/ranking.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>
#include <utility>

namespace perrev {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();
constexpr double kLeastPairShown = 1e-4;

// The weights of one round, each relative to not_listed.
struct RoundWeights {
  std::vector<double> single;  // natural logarithms, by cause, then nothing_left
  PairFactors pair;            // empty where they are not wanted
  std::vector<ProviderWeights> said;
};

double later(double with_symptoms, double of_vehicle) {
  return with_symptoms == kNever ? kNever : with_symptoms - of_vehicle;
}

void add_providers(const Reasoner& reasoner, const CaseFacts& facts, std::size_t round,
                   RoundWeights& weights) {
  const Answers& answers = facts.rounds[round].answers;
  for (const Provider* provider : reasoner.providers()) {
    weights.said.push_back(provider->weigh(reasoner.base(), facts, round));
    const ProviderWeights& said = weights.said.back();
    if (said.facts.empty()) continue;
    const std::size_t causes = said.by_cause.size();
    for (std::size_t c = 0; c < causes; ++c) weights.single[c] += said.by_cause[c];
    if (weights.pair.size() == 0) continue;
    // Of each member: what it says of the provider's facts, and what was counted for it in pairs.
    std::vector<double> says(causes, 1.0), counted(causes, 1.0);
    for (const AnswerModel::GroupRef& group : reasoner.owned_by(*provider)) {
      const std::size_t c = static_cast<std::size_t>(group.cause);
      if (c == causes || said.models[c]) continue;
      says[c] *= reasoner.answers().value(group, answers);
      counted[c] *= reasoner.pairs().beside_silence(group, answers);
    }
    for (std::size_t c = 0; c < causes; ++c)
      if (said.models[c]) says[c] = std::exp(said.by_cause[c]);
    const std::vector<Pair>& pairs = reasoner.pairs().pairs();
    for (std::size_t p = 0; p < pairs.size(); ++p) {
      const std::size_t a = static_cast<std::size_t>(pairs[p].first),
                        b = static_cast<std::size_t>(pairs[p].second);
      if (said.models[a] || said.models[b])
        weights.pair.times(p, 0.5 * (says[a] + says[b]) / (counted[a] * counted[b]));
    }
  }
}

// Each round's own: later rounds given the facts that last with the vehicle.
std::vector<RoundWeights> weigh(const Reasoner& reasoner, const CaseFacts& facts, bool pairs) {
  const auto of = [&](const Answers& answers) {
    RoundWeights made{reasoner.answers().log_weights(answers), {}, {}};
    if (pairs) made.pair = reasoner.pairs().factors(answers, made.single);
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
      for (std::size_t p = 0; p < vehicle.pair.size(); ++p) out[r].pair.over(p, vehicle.pair);
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
  owned_.resize(providers_.size());
  for (int cause = 0; cause <= base.nothing_left(); ++cause) {
    const std::vector<GroupTable>& groups = answers_.groups(cause);
    for (std::size_t g = 0; g < groups.size(); ++g) {
      const int fact = base.variables[static_cast<std::size_t>(groups[g].variables.front())].fact;
      const auto owner = std::find(providers_.begin(), providers_.end(), owner_of(fact));
      if (owner != providers_.end())
        owned_[static_cast<std::size_t>(owner - providers_.begin())].push_back(
            {cause, static_cast<int>(g)});
    }
  }
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
    prior_pair_.push_back(pair_share > 0.0 ? pair_share * weight(pair) / both : 0.0);
  for (const double prior : prior_pair_) log_prior_pair_.push_back(std::log(prior));
}

const std::vector<AnswerModel::GroupRef>& Reasoner::owned_by(const Provider& provider) const {
  const auto at = std::find(providers_.begin(), providers_.end(), &provider);
  return owned_[static_cast<std::size_t>(at - providers_.begin())];
}

std::vector<double> owned_log_weights(const Reasoner& reasoner, const Provider& provider,
                                      const Answers& answers) {
  std::vector<double> out(reasoner.base().causes.size(), 0.0);
  for (const AnswerModel::GroupRef& group : reasoner.owned_by(provider))
    if (group.cause < reasoner.base().nothing_left())
      out[static_cast<std::size_t>(group.cause)] +=
          std::log(reasoner.answers().value(group, answers));
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

// Prior times likelihood of each pair, over exp(top). `top` is raised where a pair is so far above
// it that a double would not hold it.
std::vector<double> pairs_over(const Reasoner& reasoner,
                               const std::vector<std::vector<char>>& present,
                               const std::vector<RoundWeights>& weights, double& top) {
  const std::vector<Pair>& pairs = reasoner.pairs().pairs();
  const std::size_t causes = reasoner.base().causes.size();
  std::vector<double> out(pairs.size());
  const double scale = std::exp(-top);
  for (std::size_t p = 0; p < pairs.size(); ++p) out[p] = scale * reasoner.prior_pair(p);
  // Of a round: of the pair, or of what repairs have left of it.
  const auto log_in = [&](std::size_t r, std::size_t p) {
    const std::size_t a = static_cast<std::size_t>(pairs[p].first),
                      b = static_cast<std::size_t>(pairs[p].second);
    if (present[r][a] && present[r][b]) return weights[r].pair.log_of(p);
    return weights[r].single[present[r][a] ? a : present[r][b] ? b : causes];
  };
  for (std::size_t r = 0; r < weights.size(); ++r) {
    const double* const factors = weights[r].pair.data();
    if (std::find(present[r].begin(), present[r].end(), 0) == present[r].end())
      for (std::size_t p = 0; p < pairs.size(); ++p) out[p] *= factors[p];
    else
      for (std::size_t p = 0; p < pairs.size(); ++p) out[p] *= std::exp(log_in(r, p));
  }
  const double* const first = weights.front().pair.data();
  const auto lost = [&](std::size_t p) {  // what a double did not hold on the way
    return !PairFactors::held(out[p]) & (first[p] != 0.0);
  };
  bool any_lost = false;
  for (std::size_t p = 0; p < pairs.size(); ++p) any_lost |= lost(p);
  std::vector<std::pair<std::size_t, double>> far;
  double highest = top;
  for (std::size_t p = 0; any_lost && p < pairs.size(); ++p) {
    if (!lost(p)) continue;
    double log = reasoner.log_prior_pair(p);
    for (std::size_t r = 0; r < weights.size() && log != kNever; ++r) log += log_in(r, p);
    far.emplace_back(p, log);
    highest = std::max(highest, log);
  }
  if (highest > top) {
    for (double& x : out) x *= std::exp(top - highest);
    top = highest;
  }
  for (const auto& [p, log] : far) out[p] = std::exp(log - top);
  return out;
}

// Sums over pairs, by cause: both members present now; the other one cured.
struct PairMass {
  std::vector<double> both, left;
  double nothing_left = 0.0, all = 0.0;
};

PairMass mass_of(const std::vector<Pair>& pairs, const std::vector<double>& pair,
                 const std::vector<char>& now) {
  PairMass out{std::vector<double>(now.size(), 0.0), std::vector<double>(now.size(), 0.0)};
  const bool whole = std::find(now.begin(), now.end(), 0) == now.end();
  for (std::size_t p = 0; p < pairs.size();) {
    const int first = pairs[p].first;
    const std::size_t a = static_cast<std::size_t>(first);
    double sum = 0.0, other_sum = 0.0;  // in turns, so that they need not wait for each other
    for (; p < pairs.size() && pairs[p].first == first; ++p) {
      const std::size_t b = static_cast<std::size_t>(pairs[p].second);
      if (whole || (now[a] && now[b])) {
        sum += pair[p];
        std::swap(sum, other_sum);
        out.both[b] += pair[p];
      } else {
        out.all += pair[p];
        (now[a] ? out.left[a] : now[b] ? out.left[b] : out.nothing_left) += pair[p];
      }
    }
    out.both[a] += sum + other_sum;
    out.all += sum + other_sum;
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
  const std::size_t causes = base.causes.size();
  const std::vector<std::vector<char>> present = present_by_round(base, facts);
  std::vector<RoundWeights> weights = weigh(reasoner, facts, true);
  std::vector<double> single = weigh_single(reasoner, present, weights);
  const double not_listed = reasoner.log_prior_not_listed();
  double top = not_listed;
  for (const double x : single) top = std::max(top, x);
  const std::vector<double> pair = pairs_over(reasoner, present, weights, top);

  Ranking out;
  out.round = facts.rounds.size() - 1;
  out.log_odds = single;
  for (double& x : out.log_odds) x -= not_listed;
  for (RoundWeights& round : weights) out.said.push_back(std::move(round.said));
  for (double& x : single) x = std::exp(x - top);
  const std::vector<char>& now = present.back();
  const PairMass mass = mass_of(pairs, pair, now);
  const double none = std::exp(not_listed - top);
  const double total = std::accumulate(single.begin(), single.end(), none) + mass.all;
  out.not_listed = none / total;
  out.nothing_left = mass.nothing_left / total;
  for (std::size_t c = 0; c < causes; ++c) {
    Ranked ranked{static_cast<int>(c), 0.0, 0.0, single[c] == 0.0 && out.log_odds[c] == kNever};
    if (now[c]) {
      ranked.alone = (single[c] + mass.left[c]) / total;
      ranked.probability = ranked.alone + mass.both[c] / total;
    } else {
      out.nothing_left += single[c] / total;
    }
    out.causes.push_back(ranked);
  }
  const double least = kLeastPairShown * total;
  for (std::size_t p = 0; p < pairs.size(); ++p)
    if (pair[p] >= least && now[static_cast<std::size_t>(pairs[p].first)] &&
        now[static_cast<std::size_t>(pairs[p].second)])
      out.pairs.push_back({pairs[p].first, pairs[p].second, pair[p] / total});
  std::vector<char> shown(causes, 0);
  for (const int cause : facts.verdicts) shown[static_cast<std::size_t>(cause)] = 1;
  const auto confirmed = [&](const Ranked& x) {
    return shown[static_cast<std::size_t>(x.cause)] != 0;
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
