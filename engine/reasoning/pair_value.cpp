#include <algorithm>
#include <utility>

#include "engine/reasoning/pairs.h"

namespace perrev {

double PairModel::any_value(int variable, int answer, double first_yes, double second_yes) const {
  const Variable& v = model_->base().variables[static_cast<std::size_t>(variable)];
  const double least = std::min({v.base[1], first_yes, second_yes});
  // Yes is impossible for a member whose P(yes) is 0: then it is impossible for the pair.
  const double no = first_yes <= 0.0 || second_yes <= 0.0
                        ? 1.0
                        : (1.0 - first_yes) * (1.0 - second_yes) / (1.0 - least);
  return answer == 1 ? (1.0 - no) / v.base[1] : no / v.base[0];
}

double PairModel::plain_value(const KnownVariable& known, std::size_t first,
                              std::size_t second) const {
  const Plain& plain = plain_[static_cast<std::size_t>(known.variable)];
  if (plain.placed) {
    const double* const no = model_->row(known.variable, 0);
    const double* const yes = model_->row(known.variable, 1);
    const double places = known.no + known.yes + known.open;
    const double one_no =
        any_value(known.variable, 0, 1.0 - plain.no[first], 1.0 - plain.no[second]);
    const double one_yes =
        any_value(known.variable, 1, 1.0 - plain.no[first], 1.0 - plain.no[second]);
    const double apart = places * places * known.row[first] * known.row[second] - known.open -
                         known.no * no[first] * no[second] - known.yes * yes[first] * yes[second];
    return (apart + known.open + known.no * one_no + known.yes * one_yes) / (places * places);
  }
  if (plain.any)
    return any_value(known.variable, known.answer, 1.0 - plain.no[first], 1.0 - plain.no[second]);
  const double both = known.row[first] + known.row[second];
  return both * (plain.needs ? plain.inverse_mass[first][second] : 0.5);
}

// The value of a known variable for a pair of `cause` and one whose rules say nothing of it.
double PairModel::beside_silence(const KnownVariable& known, std::size_t cause) const {
  const Plain& plain = plain_[static_cast<std::size_t>(known.variable)];
  if (!plain.any) return (known.row[cause] + 1.0) * (plain.needs ? plain.silent_mass[cause] : 0.5);
  const Variable& v = model_->base().variables[static_cast<std::size_t>(known.variable)];
  const double yes = 1.0 - plain.no[cause];
  if (!plain.placed) return any_value(known.variable, known.answer, yes, v.base[1]);
  const double places = known.no + known.yes + known.open;
  const double* const says_no = model_->row(known.variable, 0);
  const double* const says_yes = model_->row(known.variable, 1);
  const double apart =
      places * places * known.row[cause] - known.no * says_no[cause] - known.yes * says_yes[cause];
  return (apart + known.no * any_value(known.variable, 0, yes, v.base[1]) +
          known.yes * any_value(known.variable, 1, yes, v.base[1])) /
         (places * places);
}

// Of a group of more than one variable, beside a cause that says what it says of them alone.
double PairModel::group_beside(const AnswerModel::GroupRef& group, int other,
                               const Answers& answers) const {
  const GroupTable& table = model_->table(group);
  if (!model_->anything_known(table, answers)) return 1.0;
  double says = 1.0;
  for (const int variable : table.variables) says *= model_->known_value(variable, other, answers);
  return 0.5 * (model_->value(table, answers) + says);
}

double PairModel::side_now(const Side& side, const Answers& answers) const {
  double value = 1.0;
  for (std::uint32_t t = side.terms.begin; t < side.terms.end; ++t) {
    const GroupTable& group = model_->groups(side.cause)[static_cast<std::size_t>(terms_[t].group)];
    const GroupMasks masks = masks_of(terms_[t]);
    value *= masks.first == masks.last ? model_->value(group, answers)
                                       : model_->masked(group, masks, answers);
  }
  for (std::uint32_t b = side.bare.begin; b < side.bare.end; ++b)
    if (!model_->anything_known(bare_[b].variable, answers)) value *= bare_[b].mass;
  return value;
}

double PairModel::value_around(int first, int second, int variable, const Answers& answers) const {
  // What is impossible for a member is impossible for the pair; the tables take it as seen to.
  for (const int cause : {first, second})
    for (const auto& [needed, allowed] :
         model_->base().causes[static_cast<std::size_t>(cause)].needs) {
      const Variable& of = model_->base().variables[static_cast<std::size_t>(needed)];
      const int answer = answers[static_cast<std::size_t>(of.first_slot)];
      if (answer >= 0 && ((allowed >> answer) & 1u) == 0) return 0.0;
    }
  if (const Special* of = special({first, second}))
    for (std::uint32_t j = of->joints.begin; j < of->joints.end; ++j) {
      const Joint& joint = joints_[j];
      const auto begin = joint_variables_.data() + joint.variables.begin;
      const auto end = joint_variables_.data() + joint.variables.end;
      if (std::find(begin, end, variable) != end)
        return (side_now(joint.first, answers) + side_now(joint.second, answers)) /
               (joint.first.mass + joint.second.mass);
    }
  for (const auto& [cause, beside] : {std::pair(first, second), std::pair(second, first)}) {
    const int group = model_->group_of(cause, variable);
    if (group >= 0 && !model_->table({cause, group}).single())
      return group_beside({cause, group}, beside, answers);
  }
  if (!model_->anything_known(variable, answers)) return 1.0;
  CauseRow room(model_->length());
  return plain_value(model_->known(variable, answers, room.data()), static_cast<std::size_t>(first),
                     static_cast<std::size_t>(second));
}

}  // namespace perrev
