// P(answers | cause) for single causes: the tables behind the weights.
//
// Facts that share a rule about a cause form a group. Over all answer sheets g of a group
//     P(g | c) = product of base rates * product of the strengths of c's rules true at g / Z,
// and groups are independent. Kept here is P(g | c) / P(g | not listed) = strengths / Z, so a group
// with nothing known has the value 1 and unknown answers are summed out with their base rates. A
// fact read per wheel, axle or shaft belongs to a fault that sits at one of the places, each as
// likely: the value of a group is the mean over the places. Built once from a rule base; immutable;
// safe to share between threads.
#pragma once

#include <memory>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/groups.h"
#include "engine/knowledge/rule_base.h"
#include "engine/reasoning/rows.h"

namespace perrev {

// Answers that are still allowed for a position of a group's variables.
struct GroupMask {
  int position = 0;
  AnswerSet allowed = 0;
  bool operator==(const GroupMask& o) const {
    return position == o.position && allowed == o.allowed;
  }
};

// Some of them, which stand elsewhere.
struct GroupMasks {
  const GroupMask *first = nullptr, *last = nullptr;
  const GroupMask* begin() const { return first; }
  const GroupMask* end() const { return last; }
};

struct GroupTable {
  std::vector<int> variables;  // sorted
  std::vector<int> sizes;      // answers of each
  std::vector<int> strides;    // sheet = sum of answer * stride
  std::vector<double> relative;
  // The same with unknown answers summed out: at the sum of (answer + 1) * stride, an unknown one
  // counting as 0. Empty where it would be too large.
  std::vector<double> partial;
  std::vector<int> partial_strides;
  std::vector<GroupRule> rules;
  std::vector<GroupMask> needs;  // what the cause allows; everything where a position is missing
  int places = 1;

  bool single() const { return variables.size() == 1; }
};

struct KnownVariable {
  int variable = 0;
  int answer = 0;               // of the first place
  const double* row = nullptr;  // AnswerModel::row of the answer, or the mean over the places
  double no = 0.0, yes = 0.0, open = 0.0;  // how many places answered so, or not at all
};

// What answers tell, looked up once for all that is weighed by them.
struct KnownAnswers {
  std::vector<KnownVariable> known;  // by variable, ascending
  std::vector<int> known_at;         // by variable; -1 when nothing is known of it
  std::vector<int> touched;          // of AnswerModel::joint_groups(), with something known
  std::vector<double> joint_values;  // of all of them
  CauseRow rooms;                    // that rows point into
  const Answers* answers = nullptr;

  KnownAnswers() = default;
  KnownAnswers(KnownAnswers&&) = default;
  KnownAnswers(const KnownAnswers&) = delete;  // rows would point into the other's rooms
  KnownAnswers& operator=(const KnownAnswers&) = delete;
};

class AnswerModel {
 public:
  struct GroupRef {
    int cause = 0;
    int group = 0;
  };

  explicit AnswerModel(const RuleBase& base);

  const RuleBase& base() const { return *base_; }
  // Of a cause, or of RuleBase::nothing_left().
  const std::vector<GroupTable>& groups(int cause) const {
    return groups_[static_cast<std::size_t>(cause)];
  }
  const GroupTable& table(const GroupRef& group) const {
    return groups(group.cause)[static_cast<std::size_t>(group.group)];
  }
  // The group of `cause` that `variable` belongs to, -1 when no rule about the cause speaks of it.
  int group_of(int cause, int variable) const {
    return group_of_[static_cast<std::size_t>(cause)][static_cast<std::size_t>(variable)];
  }

  // P(known | cause) / P(known | not listed) of one group; 1 when nothing in it is known.
  double value(const GroupTable& group, const Answers& answers) const;
  double value(const GroupRef& group, const Answers& answers) const {
    return value(table(group), answers);
  }
  // The same restricted to sheets that all masks allow; known answers are taken to be allowed.
  double masked(const GroupTable& group, const GroupMasks& masks, const Answers& answers) const;
  bool anything_known(const GroupTable& group, const Answers& answers) const;
  bool anything_known(int variable, const Answers& answers) const;
  // Of a variable of which something is known; `room` as for known_row.
  KnownVariable known(int variable, const Answers& answers, double* room) const;
  // `answers` must outlive it.
  KnownAnswers look_up(const Answers& answers) const;
  // Natural logarithm of the product over all groups; -infinity when the cause cannot be.
  double log_weight(int cause, const Answers& answers) const;
  // The same for every cause, and for nothing_left at the end.
  std::vector<double> log_weights(const KnownAnswers& told) const;
  std::vector<double> log_weights(const Answers& answers) const {
    return log_weights(look_up(answers));
  }

  // Most groups are of one variable. Their values stand in rows over all causes (nothing_left
  // last), one row an answer; 1 for a cause whose rules do not speak of the variable alone.
  const double* row(int variable, int answer) const {
    return rows_.data() + row_at_[static_cast<std::size_t>(variable)] +
           static_cast<std::size_t>(answer) * length_;
  }
  // The natural logarithms of a row.
  const double* log_row(int variable, int answer) const {
    return log_rows_.data() + row_at_[static_cast<std::size_t>(variable)] +
           static_cast<std::size_t>(answer) * length_;
  }
  // Causes and nothing_left.
  std::size_t width() const { return width_; }
  // Of a row: width() in whole steps.
  std::size_t length() const { return length_; }
  // The row of what is known of a variable: of its answer, or the mean over its places (made in
  // `room`, of a CauseRow of length()).
  const double* known_row(int variable, const Answers& answers, double* room) const;
  // One of its values.
  double known_value(int variable, int cause, const Answers& answers) const;
  // By cause (nothing_left last): whether its rules tie the variable to others, so that its rows
  // are not all there is to say.
  const char* tied(int variable) const {
    return tied_.data() + static_cast<std::size_t>(variable) * width_;
  }
  // The groups of more than one variable, in the order of causes.
  const std::vector<GroupRef>& joint_groups() const { return joint_groups_; }

 private:
  double sum(const GroupTable& group, const GroupMasks& masks, const Answers& answers, int place,
             std::size_t depth, std::size_t sheet) const;
  double log_product(std::size_t cause, const KnownAnswers& told) const;
  // value(), where something is known.
  double known_value(const GroupTable& group, const Answers& answers) const;
  // Of GroupTable::partial, for what is known at a place.
  std::size_t partial_cell(const GroupTable& group, const Answers& answers, int place) const;

  // Where a variable's answers stand: what is asked of every variable, close together.
  struct Slots {
    int first, count;
  };
  const Slots& slots(int variable) const { return slots_[static_cast<std::size_t>(variable)]; }

  const RuleBase* base_;
  std::vector<Slots> slots_;
  std::vector<std::vector<GroupTable>> groups_;
  std::vector<std::vector<int>> group_of_;
  std::vector<GroupRef> joint_groups_;
  std::size_t width_ = 0, length_ = 0;
  std::vector<std::size_t> row_at_;  // by variable
  CauseRow rows_, log_rows_;
  std::vector<char> tied_;  // by variable and cause
};

}  // namespace perrev
