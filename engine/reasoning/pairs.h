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
// Nearly all components are of one variable, or of one group and what the other cause says of its
// variables alone. They are worked out for a cause and all others at once, from the rows of
// AnswerModel; what is left, where groups of both meet or one needs what the other speaks of, is
// worked out pair by pair.
#pragma once

#include <cstdint>
#include <vector>

#include "engine/reasoning/answer_model.h"
#include "engine/reasoning/pair_factors.h"

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

  // P(known | pair) / P(known | not listed), for all pairs in their order. `log_single` holds the
  // weights of the causes for the same answers: a pair with an impossible member is impossible.
  PairFactors factors(const Answers& answers, const std::vector<double>& log_single) const;

  // The same for one pair, and only of the component that `variable` is in.
  double value_around(int first, int second, int variable, const Answers& answers) const;

  // What a group of a cause is worth in a pair with a cause whose rules and needs say nothing of
  // its variables.
  double beside_silence(const AnswerModel::GroupRef& group, const Answers& answers) const;

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
        silent_mass;          // needs, not any: the same beside a cause that says and needs nothing
    std::vector<int> speaks;  // causes whose rules say or need something of it
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
  // The parts of special pairs lie in flat lists; a part of one is [begin, end).
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
  // A pair in which groups of more than one variable meet, or needs touch one: those components,
  // and the groups of both members (indices into AnswerModel::joint_groups()) that are in none.
  struct Special {
    std::uint32_t pair = 0;
    Span apart, joints;
  };
  // What is known, made ready once for all pairs.
  struct Ready {
    std::vector<Known> known;
    std::vector<int> known_at;           // by variable; -1 when nothing is known of it
    std::vector<std::uint32_t> spoken;   // of `known`: by cause, those that its rules speak of
    std::vector<std::size_t> spoken_at;  // by cause and one past the last: its part of `spoken`
    std::vector<double> joint_values;    // of AnswerModel::joint_groups()
    std::vector<int> touched;            // those of which something is known, ascending
    // By group and cause: its value beside the cause, over what the rows count for its variables.
    std::vector<double> beside;
    std::vector<double> rooms;   // that rows of `known` point into
    std::vector<double> silent;  // by cause: its value beside a cause that says nothing of anything
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
  double special_part(const Special& special, const Ready& ready, const Answers& answers) const;
  double joint_part(std::size_t pair, const Ready& ready, const Answers& answers) const;
  double log_of(std::size_t pair, const Ready& ready, const Answers& answers) const;
  double group_beside(const AnswerModel::GroupRef& group, int other, const Answers& answers) const;
  const Special* special(std::size_t pair) const;
  Known read_known(int variable, const Answers& answers, double* room) const;
  Ready make_ready(const Answers& answers) const;
  void make_groups_ready(const Answers& answers, Ready& ready) const;
  double beside_silence(const Known& known, std::size_t cause) const;
  void times_known(const Known& known, std::size_t cause, double* product) const;

  const AnswerModel* model_;
  std::size_t causes_ = 0;
  std::vector<Pair> pairs_;
  std::vector<int> pair_at_;         // causes x causes, first < second: index into pairs_, or -1
  std::vector<std::size_t> row_at_;  // by cause and one past the last: its pairs as the first
  std::vector<Special> special_;     // in the order of pairs
  std::vector<int> apart_;
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
