// Two causes at once: how their answers combine.
//
// For a pair the groups of both members join into components that share variables.
//   - A component of one variable with two answers whose fact says `together: any`:
//         P(yes) = 1 - (1 - p)(1 - q) / (1 - min(b, p, q)).
//     Read per wheel, axle or shaft, each of the two faults sits at a place of its own choosing:
//     where both sit the formula holds, where one sits its own rate, elsewhere the base rate.
//   - Every other component: the mean of the members' tables over the component.
// An answer that is impossible for one member is impossible for the pair, and the table is
// normalised again. What a member's rules do not speak of has its base rate. Causes whose needs
// leave no answer that both can have are never a pair. Values are relative to `not_listed`.
//
// Nearly all components are of one variable. They are worked out for all pairs of a row at once,
// from the rows of AnswerModel; the few joint components are worked out pair by pair, and what the
// rows had counted for their variables is divided out.
#pragma once

#include <cstdint>
#include <functional>
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

  // Those that can be: not ruled out by not_with, nor by needs that no vehicle can meet together.
  const std::vector<Pair>& pairs() const { return pairs_; }

  // Natural logarithm of P(known | pair) / P(known | not listed), for all pairs in their order.
  // `log_single` holds the weights of the causes for the same answers: a pair with an impossible
  // member is impossible.
  std::vector<double> log_weights(const Answers& answers,
                                  const std::vector<double>& log_single) const;

  // The same for one pair, and only of the component that `variable` is in: its value, not the
  // logarithm.
  double value_around(int first, int second, int variable, const Answers& answers) const;

  // Natural logarithm of what those of the cause's groups of which all variables are `of` count
  // for in a pair with a cause whose rules and needs say nothing of them.
  double log_beside_silence(int cause, const Answers& answers,
                            const std::function<bool(int)>& of) const;

 private:
  // How one variable combines where both members' rules speak of it alone, or not at all.
  struct Plain {
    bool any = false;             // together: any
    bool placed = false;          // any, read per wheel, axle or shaft
    bool needs = false;           // some cause needs an answer of it
    std::vector<double> no;       // any: P(no | cause)
    std::vector<double> inverse;  // any: 1 / (1 - min(b, P(yes | cause)))
    std::vector<double>
        inverse_mass;  // needs, not any: causes x causes, 1 / (sum of the members' masses)
    std::vector<double>
        silent_mass;  // needs, not any: the same beside a cause that says and needs nothing
    std::vector<char> speaks;  // whether the cause's rules say or need something of it
    // By answer and cause, where it is not read per place: 1 / the value beside a cause that says
    // nothing.
    std::vector<std::vector<double>> over;
  };
  // A variable that is known, with the row of values of what is known.
  struct Known {
    int variable = 0;
    int answer = 0;  // of the first place
    const double* row = nullptr;
    const double* over = nullptr;  // 1 / the value beside a cause whose rules say nothing of it
    double no = 0.0, yes = 0.0,
           open = 0.0;  // any, read per place: how many places answered so, or not at all
  };
  // The joint components of all pairs lie in flat lists; a part of one is [begin, end).
  struct Span {
    std::uint32_t begin = 0, end = 0;
  };
  // One group of a member's part of a joint component, under the other member's needs.
  struct Term {
    int variable = -1;  // of a single group that no need touches
    int joint =
        -1;  // of a joint group that no need touches: index into AnswerModel::joint_groups()
    int group = 0;
    Span masks;
  };
  struct Bare {  // a need of the other member on a variable of which this one's rules say nothing
    int variable = 0;
    double mass = 1.0;
  };
  struct Side {
    int cause = 0;
    Span terms, bare;
    double mass = 1.0;  // with nothing known
  };
  struct Joint {
    Span variables;
    Side first, second;
  };
  // The joint components of a pair. One that is a group of one member, of whose variables the
  // other says and needs nothing, is only told by the group.
  struct Joints {
    Span beside_silence;  // of alone_: indices into AnswerModel::joint_groups()
    Span of_both;         // of joints_
  };
  // What is known, made ready once for all pairs.
  struct Ready {
    std::vector<Known> known;
    std::vector<int> known_at;         // by variable; -1 when nothing is known of it
    std::vector<double> joint_values;  // of AnswerModel::joint_groups()
    std::vector<double> joint_silent;  // the same beside a cause that says nothing of it
    std::vector<std::vector<double>> rooms, over_rooms;
    std::vector<double>
        silent;  // by cause: its value beside a cause that says nothing of anything known
  };

  void make_plain(int variable);
  void join(int first, int second);
  Side add_side(int cause, const std::vector<int>& groups, int other,
                const std::vector<int>& other_groups);
  double any_value(int variable, int answer, double first_yes, double second_yes) const;
  double plain_value(const Known& known, std::size_t first, std::size_t second) const;
  double side_value(const Side& side, const Ready& ready, const Answers& answers) const;
  double side_now(const Side& side, const Answers& answers) const;
  double joint_ratio(const Joint& joint, const Ready& ready, const Answers& answers) const;
  Known read_known(int variable, const Answers& answers, std::vector<double>& room) const;
  Ready make_ready(const Answers& answers) const;
  double beside_silence(const Known& known, std::size_t cause) const;
  void times_known(const Known& known, std::size_t cause, double* product) const;

  const AnswerModel* model_;
  std::size_t causes_ = 0;
  std::vector<Pair> pairs_;
  std::vector<int> pair_at_;       // causes x causes, first < second: index into pairs_, or -1
  std::vector<Joints> joints_of_;  // by pair
  std::vector<int> alone_;
  std::vector<Joint> joints_;
  std::vector<int> joint_variables_;
  std::vector<Term> terms_;
  std::vector<GroupMask> masks_;
  std::vector<Bare> bare_;
  std::vector<Plain> plain_;                    // by variable
  std::vector<std::vector<int>> joint_groups_;  // by cause: its groups of more than one variable
  std::vector<std::vector<int>> joint_at_;  // by cause and group: index into joint_groups(), or -1
};

}  // namespace perrev
