// Two causes at once: how their answers combine.
//
// For a pair the groups of both members join into components that share variables.
//   - A component of one variable with two answers whose fact says `together: any`, single for
//   both:
//         P(yes) = 1 - (1 - p)(1 - q) / (1 - min(b, p, q)).
//   - Every other component: the mean of the members' tables over the component.
// An answer that is impossible for one member is impossible for the pair, and the table is
// normalised again. What a member's rules do not speak of has its base rate. Causes whose
// needs leave no answer that both can have are never a pair. All values are relative to
// `not_listed`.
//
// Components in which only one member has a say are valued once for that member (`alone`), so that
// a pair costs only what its members share.
#pragma once

#include <vector>

#include "engine/reasoning/answer_model.h"

namespace perrev {

struct Pair {
  int first = 0;
  int second = 0;  // greater than first
};

class PairModel {
 public:
  explicit PairModel(const AnswerModel& model);

  const std::vector<Pair>& pairs() const { return pairs_; }

  // Natural logarithm of P(known | pair) / P(known | not listed), for all pairs in their order.
  // `log_single` holds the weights of the causes for the same answers: a pair with an impossible
  // member is impossible.
  std::vector<double> log_weights(const Answers& answers,
                                  const std::vector<double>& log_single) const;

 private:
  // A group of one cause under the masks that the other member's needs lay on it.
  struct Use {
    int cause = 0;
    int group = 0;
    std::vector<GroupMask> masks;
    double mass = 1.0;  // its value with nothing known
  };
  // A need of one member on a variable of which the other's rules say nothing.
  struct Bare {
    int variable = 0;
    double mass = 1.0;  // base rate of the answers that are left
  };
  struct Side {
    std::vector<int> uses;
    std::vector<Bare> bare;
    double mass = 1.0;
  };
  // Most components are one group against one group with no needs in the way: kept flat. The others
  // point into `sides_`.
  struct Component {
    int first = 0, second = 0;  // uses, or sides
    enum class Kind : char { either, any, general } kind = Kind::either;
  };
  struct Values {
    std::vector<double> use;    // by use
    std::vector<char> known;    // by use: something in it is known
    std::vector<double> alone;  // by plain use: beside a member that says nothing about it
  };

  int plain_use(int cause, int group) const {
    return first_use_[static_cast<std::size_t>(cause)] + group;
  }
  int masked_use(int cause, int group, std::vector<GroupMask> masks);
  void join(int first, int second);
  Side side_of(int cause, const std::vector<int>& groups, int other,
               const std::vector<int>& other_groups);
  double needs_mass(const GroupTable& group, const Answers* answers) const;
  double any_value(int variable, double first_yes, double second_yes, const Answers& answers) const;
  double alone_value(const Use& use, double value, const Answers& answers) const;
  double side_value(const Side& side, const Values& values, const Answers& answers) const;
  double ratio(const Component& component, const Values& values, const Answers& answers) const;
  Values values(const Answers& answers) const;

  const AnswerModel* model_;
  std::vector<Pair> pairs_;
  std::vector<std::size_t> first_component_;  // by pair, and the end
  std::vector<Component> components_;
  std::vector<Side> sides_;
  std::vector<Use> uses_;       // the plain ones first, in the order of causes and groups
  std::vector<int> first_use_;  // by cause
  std::vector<std::vector<int>> variants_;  // by plain use: its masked uses
};

}  // namespace perrev
