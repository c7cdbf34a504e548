#include <algorithm>

#include "engine/reasoning/pairs.h"

namespace perrev {

double PairModel::side_value(const Side& side, const KnownAnswers& told) const {
  double value = 1.0;
  for (std::uint32_t t = side.terms.begin; t < side.terms.end; ++t) {
    const Term& term = terms_[t];
    if (term.joint >= 0) {
      value *= told.joint_values[static_cast<std::size_t>(term.joint)];
    } else if (term.variable >= 0) {
      const int at = told.known_at[static_cast<std::size_t>(term.variable)];
      if (at >= 0)
        value *= told.known[static_cast<std::size_t>(at)].row[static_cast<std::size_t>(side.cause)];
    } else {
      value *= model_->masked(model_->groups(side.cause)[static_cast<std::size_t>(term.group)],
                              masks_of(term), *told.answers);
    }
  }
  for (std::uint32_t b = side.bare.begin; b < side.bare.end; ++b)
    if (told.known_at[static_cast<std::size_t>(bare_[b].variable)] < 0) value *= bare_[b].mass;
  return value;
}

// What a joint component is worth, over what the rows counted for its variables. Of a variable in
// it at least one member speaks together with others, and has no row of its own: what was counted
// is the other beside one that says nothing.
double PairModel::joint_ratio(const Joint& joint, const Ready& ready) const {
  double over = 1.0;
  for (std::uint32_t v = joint.variables.begin; v < joint.variables.end; ++v) {
    const int at = ready.told.known_at[static_cast<std::size_t>(joint_variables_[v])];
    if (at < 0) continue;
    const double* const by = ready.terms[static_cast<std::size_t>(at)].rows.over;
    over *= by[static_cast<std::size_t>(joint.first.cause)] *
            by[static_cast<std::size_t>(joint.second.cause)];
  }
  return (side_value(joint.first, ready.told) + side_value(joint.second, ready.told)) /
         (joint.first.mass + joint.second.mass) * over;
}

bool PairModel::is_known(const Joint& joint, const KnownAnswers& told) const {
  const auto begin = joint_variables_.data() + joint.variables.begin;
  const auto end = joint_variables_.data() + joint.variables.end;
  return std::any_of(begin, end,
                     [&](int v) { return told.known_at[static_cast<std::size_t>(v)] >= 0; });
}

const PairModel::Special* PairModel::special(const Pair& pair) const {
  const auto found =
      std::lower_bound(special_.begin(), special_.end(), pair,
                       [](const Special& of, const Pair& wanted) { return of.pair < wanted; });
  return found != special_.end() && found->pair == pair ? &*found : nullptr;
}

// All groups of more than one variable of both members; nothing where no group of one is known to
// meet the other's, so that they count as those of any pair.
std::optional<double> PairModel::special_part(const Special& special, const Ready& ready) const {
  double part = 1.0;
  bool any_known = false;
  for (std::uint32_t j = special.joints.begin; j < special.joints.end; ++j)
    if (is_known(joints_[j], ready.told)) {
      any_known = true;
      part *= joint_ratio(joints_[j], ready);
    }
  if (!any_known) return std::nullopt;
  for (std::uint32_t i = special.apart.begin; i < special.apart.end; ++i) {
    const int at = ready.beside_at[static_cast<std::size_t>(apart_[i])];
    if (at < 0) continue;
    const bool of_first = ready.group_causes[static_cast<std::size_t>(at)] ==
                          static_cast<std::size_t>(special.pair.first);
    part *=
        ready.beside[static_cast<std::size_t>(at) * model_->length() +
                     static_cast<std::size_t>(of_first ? special.pair.second : special.pair.first)];
  }
  return part;
}

// The same of any pair.
double PairModel::joint_part(const Pair& pair, const Ready& ready) const {
  if (const Special* of = special(pair))
    if (const std::optional<double> part = special_part(*of, ready)) return *part;
  const std::size_t first = static_cast<std::size_t>(pair.first),
                    second = static_cast<std::size_t>(pair.second);
  double part = 1.0;
  for (std::size_t t = 0; t < ready.group_causes.size(); ++t) {
    const double* const beside = ready.beside.data() + t * model_->length();
    if (ready.group_causes[t] == first) part *= beside[second];
    if (ready.group_causes[t] == second) part *= beside[first];
  }
  return part;
}

}  // namespace perrev
