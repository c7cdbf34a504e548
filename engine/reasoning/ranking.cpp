#include "engine/reasoning/ranking.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

#include "engine/reasoning/weighed_round.h"

namespace perrev {

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
  std::vector<int> by_id(base.causes.size());
  std::iota(by_id.begin(), by_id.end(), 0);
  std::sort(by_id.begin(), by_id.end(), [&](int a, int b) {
    return base.causes[static_cast<std::size_t>(a)].id <
           base.causes[static_cast<std::size_t>(b)].id;
  });
  place_by_id_.resize(by_id.size());
  for (std::size_t i = 0; i < by_id.size(); ++i)
    place_by_id_[static_cast<std::size_t>(by_id[i])] = static_cast<int>(i);
  prior_pairs_ = PairRows(base.causes.size());
  for (const Pair& pair : pairs_.pairs())
    prior_pairs_.at(pair) = pair_share > 0.0 ? pair_share * weight(pair) / both : 0.0;
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

constexpr double kNever = -std::numeric_limits<double>::infinity();

// Natural logarithms of prior times likelihood, by cause; what is cured was there in the rounds
// before.
std::vector<double> weigh_single(const Reasoner& reasoner,
                                 const std::vector<std::vector<char>>& present,
                                 const std::vector<WeighedRound>& weights) {
  const std::size_t causes = reasoner.base().causes.size();
  std::vector<double> out;
  for (std::size_t c = 0; c < causes; ++c) {
    out.push_back(reasoner.log_prior(static_cast<int>(c)));
    for (std::size_t r = 0; r < weights.size(); ++r)
      out[c] += weights[r].single[present[r][c] ? c : causes];
  }
  return out;
}

bool is_whole(const std::vector<char>& present) {
  return std::find(present.begin(), present.end(), 0) == present.end();
}

// Prior times likelihood of each pair, over exp(top). `top` is raised where a pair is so far above
// it that a double would not hold it.
PairRows pairs_over(const Reasoner& reasoner, const std::vector<std::vector<char>>& present,
                    const std::vector<WeighedRound>& weights, double& top) {
  const std::size_t causes = reasoner.base().causes.size();
  PairRows out(causes);
  // Of a round: of the pair, or of what repairs have left of it.
  const auto log_in = [&](std::size_t r, const Pair& pair) {
    const std::size_t a = static_cast<std::size_t>(pair.first),
                      b = static_cast<std::size_t>(pair.second);
    if (present[r][a] && present[r][b]) return weights[r].pair.log_of(pair);
    return weights[r].single[present[r][a] ? a : present[r][b] ? b : causes];
  };
  std::vector<std::pair<Pair, double>> far;  // what a double did not hold on the way
  double highest = top;
  const double scale = std::exp(-top);
  for (std::size_t a = 0; a < causes; ++a) {
    const std::size_t from = PairRows::from(a);
    double* const row = out.row(a);
    const double* const first = weights.front().pair.rows().row(a);
    scaled_product(row, scale, reasoner.prior_pairs().row(a), first, from, out.length());
    for (std::size_t r = 1; r < weights.size(); ++r) {
      const double* const then = weights[r].pair.rows().row(a);
      if (is_whole(present[r]) && times_if_held(row, then, from, out.length())) continue;
      for (std::size_t b = a + 1; b < causes; ++b)
        if (row[b] != 0.0)
          row[b] *= std::exp(log_in(r, {static_cast<int>(a), static_cast<int>(b)}));
    }
    if (all_held(row, first, from, out.length())) continue;
    for (std::size_t b = a + 1; b < causes; ++b) {
      if (held(row[b]) || first[b] == 0.0) continue;
      const Pair pair{static_cast<int>(a), static_cast<int>(b)};
      double log = std::log(reasoner.prior(pair));
      for (std::size_t r = 0; r < weights.size() && log != kNever; ++r) log += log_in(r, pair);
      row[b] = 0.0;
      if (log == kNever) continue;
      far.emplace_back(pair, log);
      highest = std::max(highest, log);
    }
  }
  if (highest > top) {
    for (std::size_t a = 0; a < causes; ++a)
      for (std::size_t b = a + 1; b < causes; ++b) out.row(a)[b] *= std::exp(top - highest);
    top = highest;
  }
  for (const auto& [pair, log] : far) out.at(pair) = std::exp(log - top);
  return out;
}

// Sums over pairs, by cause: both members present now; the other one cured.
struct PairMass {
  CauseRow both, left;
  double nothing_left = 0.0, all = 0.0;
};

PairMass mass_of(const PairRows& pair, const std::vector<char>& now) {
  PairMass out{CauseRow(pair.length(), 0.0), CauseRow(pair.length(), 0.0)};
  const bool whole = is_whole(now);
  for (std::size_t a = 0; a < now.size(); ++a) {
    const double* const row = pair.row(a);
    if (whole) {
      const double sum = add_and_sum(out.both.data(), row, PairRows::from(a), pair.length());
      out.both[a] += sum;
      out.all += sum;
      continue;
    }
    for (std::size_t b = a + 1; b < now.size(); ++b) {
      out.all += row[b];
      if (now[a] && now[b]) {
        out.both[a] += row[b];
        out.both[b] += row[b];
      } else {
        (now[a] ? out.left[a] : now[b] ? out.left[b] : out.nothing_left) += row[b];
      }
    }
  }
  return out;
}

}  // namespace

std::vector<double> log_odds(const Reasoner& reasoner, const CaseFacts& facts) {
  std::vector<double> out = weigh_single(reasoner, present_by_round(reasoner.base(), facts),
                                         weigh_rounds(reasoner, facts, false));
  for (double& x : out) x -= reasoner.log_prior_not_listed();
  return out;
}

Ranking rank(const Reasoner& reasoner, const CaseFacts& facts, double least_pair_named) {
  const RuleBase& base = reasoner.base();
  const std::size_t causes = base.causes.size();
  const std::vector<std::vector<char>> present = present_by_round(base, facts);
  std::vector<WeighedRound> weights = weigh_rounds(reasoner, facts, true);
  std::vector<double> single = weigh_single(reasoner, present, weights);
  const double not_listed = reasoner.log_prior_not_listed();
  double top = not_listed;
  for (const double x : single) top = std::max(top, x);
  const PairRows pair = pairs_over(reasoner, present, weights, top);

  Ranking out;
  out.round = facts.rounds.size() - 1;
  out.log_odds = single;
  for (double& x : out.log_odds) x -= not_listed;
  for (WeighedRound& round : weights) out.said.push_back(std::move(round.said));
  for (double& x : single) x = std::exp(x - top);
  const std::vector<char>& now = present.back();
  const PairMass mass = mass_of(pair, now);
  const double none = std::exp(not_listed - top);
  const double total = std::accumulate(single.begin(), single.end(), none) + mass.all;
  out.not_listed = none / total;
  out.nothing_left = mass.nothing_left / total;
  out.causes.reserve(causes);
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
  const double least = least_pair_named * total;
  for (std::size_t a = 0; a < causes; ++a) {
    const double* const row = pair.row(a);
    if (!now[a] || !any_at_least(row, least, PairRows::from(a), pair.length())) continue;
    for (std::size_t b = a + 1; b < causes; ++b)
      if (row[b] >= least && now[b])
        out.pairs.push_back({static_cast<int>(a), static_cast<int>(b), row[b] / total});
  }
  std::vector<char> shown(causes, 0);
  for (const int cause : facts.verdicts) shown[static_cast<std::size_t>(cause)] = 1;
  const auto confirmed = [&](const Ranked& x) {
    return shown[static_cast<std::size_t>(x.cause)] != 0;
  };
  std::sort(out.causes.begin(), out.causes.end(), [&](const Ranked& x, const Ranked& y) {
    if (confirmed(x) != confirmed(y)) return confirmed(x);
    if (x.probability != y.probability) return x.probability > y.probability;
    return reasoner.place_by_id(x.cause) < reasoner.place_by_id(y.cause);
  });
  std::sort(out.pairs.begin(), out.pairs.end(), [&](const RankedPair& x, const RankedPair& y) {
    if (x.probability != y.probability) return x.probability > y.probability;
    if (x.first != y.first) return reasoner.place_by_id(x.first) < reasoner.place_by_id(y.first);
    return reasoner.place_by_id(x.second) < reasoner.place_by_id(y.second);
  });
  return out;
}

}  // namespace perrev
