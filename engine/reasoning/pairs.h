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
#include <optional>
#include <vector>

#include "engine/reasoning/answer_model.h"
#include "engine/reasoning/pair_factors.h"

namespace perrev {

// A bit for each variable of a rule base.
using VariableSet = std::vector<std::uint64_t>;
inline std::size_t words_of_bits(std::size_t bits) { return (bits + 63) / 64; }
inline void set_bit(VariableSet& bits, std::size_t at) {
  bits[at / 64] |= std::uint64_t{1} << at % 64;
}

class PairModel {
 public:
  explicit PairModel(const AnswerModel& model);

  // Those that can be: not ruled out by not_with, nor by needs that no vehicle can meet together.
  const std::vector<Pair>& pairs() const { return pairs_; }

  // P(known | pair) / P(known | not listed), for all pairs. `log_single` holds the weights of the
  // causes for the same answers: a pair with an impossible member is impossible.
  PairFactors factors(const KnownAnswers& told, const std::vector<double>& log_single) const;
  PairFactors factors(const Answers& answers, const std::vector<double>& log_single) const {
    return factors(model_->look_up(answers), log_single);
  }

  // The same for one pair, and only of the component that `variable` is in.
  double value_around(int first, int second, int variable, const Answers& answers) const;

  // By cause: 1 / what a known variable is worth for it in a pair with a cause whose rules and
  // needs say nothing of the variable; made in `room`, of a CauseRow of AnswerModel::length(),
  // where it is not at hand.
  const double* over_silence(const KnownVariable& known, double* room) const;

 private:
  // How one variable combines where both members' rules speak of it alone, or not at all.
  struct Plain {
    bool any = false;     // together: any
    bool placed = false;  // any, read per wheel, axle or shaft
    bool needs = false;   // some cause needs an answer of it
    CauseRow no;          // any: P(no | cause)
    CauseRow inverse;     // any: 1 / (1 - min(b, P(yes | cause)))
    std::vector<CauseRow>
        inverse_mass;         // needs, not any: by cause and cause, 1 / (sum of their masses)
    CauseRow silent_mass;     // needs, not any: the same beside a cause that says nothing
    std::vector<int> speaks;  // causes whose rules or needs speak of it
    // By answer, where it is not read per place: 1 / the value beside a cause that says nothing.
    std::vector<CauseRow> over;
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
    Pair pair;
    Span apart, joints;
  };
  // A known variable, ready for pairs.
  struct KnownTerm {
    enum class Kind { mean, needs, any, placed, apart };  // as in PairTerms; apart: needs and any
    Kind kind = Kind::mean;
    const KnownVariable* known = nullptr;
    const Plain* plain = nullptr;
    PairTerms::Variable rows;    // over: 1 / the value beside a cause that says nothing of it
    double no = 0.0, yes = 0.0;  // how many places say so, over their base rates
  };
  // What is known, made ready once for all pairs.
  struct Ready {
    explicit Ready(const KnownAnswers& of) : told(of) {}

    const KnownAnswers& told;
    std::vector<KnownTerm> terms;
    CauseRow rooms;  // that they point into
    VariableSet known;
    CauseRow silent;             // by cause: its value beside a cause that says nothing of anything
    std::vector<int> beside_at;  // by joint group: its row of `beside`, or -1
    std::vector<std::size_t> group_causes;  // of the rows of `beside`, ascending
    // By group of which something is known, and cause: the group's value beside the cause, over
    // what the rows count for its variables.
    CauseRow beside;
  };

  void make_plain(int variable);
  void join(int first, int second);
  Side add_side(int cause, const std::vector<int>& groups, int other,
                const std::vector<int>& other_groups);
  double any_value(int variable, int answer, double first_yes, double second_yes) const;
  double plain_value(const KnownVariable& known, std::size_t first, std::size_t second) const;
  double side_value(const Side& side, const KnownAnswers& told) const;
  double side_now(const Side& side, const Answers& answers) const;
  GroupMasks masks_of(const Term& term) const {
    return {masks_.data() + term.masks.begin, masks_.data() + term.masks.end};
  }
  bool is_known(const Joint& joint, const KnownAnswers& told) const;
  double joint_ratio(const Joint& joint, const Ready& ready) const;
  std::optional<double> special_part(const Special& special, const Ready& ready) const;
  double joint_part(const Pair& pair, const Ready& ready) const;
  double log_of(const Pair& pair, const Ready& ready) const;
  double group_beside(const AnswerModel::GroupRef& group, int other, const Answers& answers) const;
  const Special* special(const Pair& pair) const;
  double beside_silence(const KnownVariable& known, std::size_t cause) const;
  KnownTerm known_term(const KnownVariable& known) const;
  void add_term(const KnownTerm& of, std::size_t cause, PairTerms& terms) const;
  Ready make_ready(const KnownAnswers& told) const;
  void make_groups_ready(Ready& ready) const;
  void add_terms(const Ready& ready, std::size_t cause, PairTerms& terms) const;
  void weigh_rows(const Ready& ready, const CauseRow& possible, PairFactors& out) const;

  const AnswerModel* model_;
  std::size_t causes_ = 0;
  std::vector<Pair> pairs_;
  std::vector<std::vector<int>> never_;  // by cause: those after it that it is in no pair with
  std::vector<VariableSet> speaks_;      // by cause: what its rules or needs speak of
  std::vector<Special> special_;         // in the order of pairs
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
