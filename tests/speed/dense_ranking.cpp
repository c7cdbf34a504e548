#include "tests/speed/dense_ranking.h"

#include <algorithm>
#include <numeric>

namespace perrev {

namespace {

using Index = Eigen::Index;

}  // namespace

DenseRanking::DenseRanking(const Reasoner& reasoner) : reasoner_(&reasoner) {
  const RuleBase& base = reasoner.base();
  const AnswerModel& model = reasoner.answers();
  const std::size_t causes = base.causes.size(), pairs = reasoner.pairs().pairs().size();
  const Index rows = static_cast<Index>(causes + pairs + 1);
  int answers = 0;
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    const Variable& variable = base.variables[v];
    const char* tied = model.tied(static_cast<int>(v));
    const bool alone =
        variable.slots == 1 && std::find(tied, tied + causes, char{1}) == tied + causes;
    for (int slot = 0; slot < variable.slots; ++slot) {
      column_at_.push_back(answers);
      plain_.push_back(alone);
      answers += variable.size();
    }
  }
  columns_.setZero(rows, answers);
  priors_.resize(rows);
  Answers one(static_cast<std::size_t>(base.slot_count), -1);
  for (const Variable& variable : base.variables)
    for (int s = variable.first_slot; s < variable.first_slot + variable.slots; ++s) {
      const std::size_t slot = static_cast<std::size_t>(s);
      for (int answer = 0; answer < variable.size(); ++answer) {
        one[slot] = answer;
        const std::vector<double> single = model.log_weights(one);
        const PairFactors factors = reasoner.pairs().factors(one, single);
        auto column = columns_.col(column_at_[slot] + answer);
        for (std::size_t c = 0; c < causes; ++c) column[static_cast<Index>(c)] = single[c];
        for (std::size_t p = 0; p < pairs; ++p)
          column[static_cast<Index>(causes + p)] = factors.log_of(reasoner.pairs().pairs()[p]);
      }
      one[slot] = -1;
    }
  for (std::size_t c = 0; c < causes; ++c)
    priors_[static_cast<Index>(c)] = reasoner.log_prior(static_cast<int>(c));
  for (std::size_t p = 0; p < pairs; ++p)
    priors_[static_cast<Index>(causes + p)] = std::log(reasoner.prior(reasoner.pairs().pairs()[p]));
  priors_[rows - 1] = reasoner.log_prior_not_listed();
}

DenseRanking::Ranks DenseRanking::rank(const Answers& known) const {
  const std::vector<Pair>& pairs = reasoner_->pairs().pairs();
  const Index causes = static_cast<Index>(reasoner_->base().causes.size());
  Eigen::VectorXd weights = priors_;
  for (std::size_t slot = 0; slot < known.size(); ++slot)
    if (known[slot] >= 0) weights += columns_.col(column_at_[slot] + known[slot]);
  weights = (weights.array() - weights.maxCoeff()).exp();
  weights /= weights.sum();
  Ranks out;
  out.causes = weights.head(causes);
  const double* pair = weights.data() + causes;
  for (std::size_t p = 0; p < pairs.size(); ++p) {
    out.causes[pairs[p].first] += pair[p];
    out.causes[pairs[p].second] += pair[p];
  }
  out.not_listed = weights[weights.size() - 1];
  out.order.resize(static_cast<std::size_t>(causes));
  std::iota(out.order.begin(), out.order.end(), 0);
  std::sort(out.order.begin(), out.order.end(), [&](int a, int b) {
    return out.causes[a] != out.causes[b] ? out.causes[a] > out.causes[b] : a < b;
  });
  return out;
}

Answers DenseRanking::plain_part(const Answers& known) const {
  Answers out = known;
  for (std::size_t slot = 0; slot < out.size(); ++slot)
    if (!plain_[slot]) out[slot] = -1;
  return out;
}

}  // namespace perrev
