// The near limit of how fast ranking can be with doubles in memory: a dense matrix with a row for
// each single cause, each pair and `not_listed`, and a column of log weights for each answer at
// each place. Of a case the columns of its answers are added to the priors; then log-sum-exp, the
// probability of each cause, alone and in pairs, and causes in order.
//
// The same as rank() with rules alone where every known answer stands alone: read at no place, tied
// to no other by the rules of a cause, of the first round. Elsewhere it only costs the same:
// answers that rules tie together, and readings at several places, are added as if independent, and
// nothing is computed from arithmetic.
#pragma once

#include <Eigen/Dense>
#include <vector>

#include "engine/reasoning/ranking.h"

namespace perrev {

class DenseRanking {
 public:
  // One column is 8 bytes times all hypotheses. The reasoner must outlive it.
  explicit DenseRanking(const Reasoner& reasoner);

  struct Ranks {
    Eigen::VectorXd causes;  // P(present, alone or in a pair | known)
    double not_listed = 0.0;
    std::vector<int> order;  // of causes, most probable first
  };
  Ranks rank(const Answers& known) const;

  // The case with only those answers for which it is exact.
  Answers plain_part(const Answers& known) const;
  double megabytes() const { return static_cast<double>(columns_.size()) * 8e-6; }

 private:
  const Reasoner* reasoner_;
  std::vector<int> column_at_;  // by slot: the column of its answer 0
  std::vector<char> plain_;     // by slot
  Eigen::MatrixXd columns_;
  Eigen::VectorXd priors_;
};

}  // namespace perrev
