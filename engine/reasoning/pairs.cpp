#include "engine/reasoning/pairs.h"

#include <algorithm>
#include <utility>

namespace perrev {

namespace {

bool contains(const std::vector<int>& list, int item) {
  return std::find(list.begin(), list.end(), item) != list.end();
}

double base_mass(const Variable& variable, AnswerSet allowed) {
  double mass = 0.0;
  for (int a = 0; a < variable.size(); ++a)
    if ((allowed >> a) & 1u) mass += variable.base[static_cast<std::size_t>(a)];
  return mass;
}

// Whether no answer of some variable is left that both causes can have.
bool exclude_each_other(const Cause& one, const Cause& other) {
  for (const auto& [variable, allowed] : one.needs)
    for (const auto& [also, allowed_too] : other.needs)
      if (variable == also && (allowed & allowed_too) == 0) return true;
  return false;
}

}  // namespace

PairModel::PairModel(const AnswerModel& model)
    : model_(&model), causes_(model.base().causes.size()) {
  const RuleBase& base = model.base();
  plain_.resize(base.variables.size());
  never_.resize(causes_);
  speaks_.assign(causes_, VariableSet(words_of_bits(base.variables.size()), 0));
  for (std::size_t v = 0; v < plain_.size(); ++v) make_plain(static_cast<int>(v));
  joint_groups_.resize(causes_ + 1);
  for (std::size_t c = 0; c <= causes_; ++c)
    joint_at_.emplace_back(model.groups(static_cast<int>(c)).size(), -1);
  for (std::size_t j = 0; j < model.joint_groups().size(); ++j) {
    const AnswerModel::GroupRef& group = model.joint_groups()[j];
    joint_groups_[static_cast<std::size_t>(group.cause)].push_back(group.group);
    joint_at_[static_cast<std::size_t>(group.cause)][static_cast<std::size_t>(group.group)] =
        static_cast<int>(j);
  }
  for (std::size_t first = 0; first < causes_; ++first) {
    for (std::size_t second = first + 1; second < causes_; ++second) {
      const std::vector<int>& never = base.causes[first].not_with;
      if (std::binary_search(never.begin(), never.end(), static_cast<int>(second)) ||
          exclude_each_other(base.causes[first], base.causes[second])) {
        never_[first].push_back(static_cast<int>(second));
        continue;
      }
      pairs_.push_back({static_cast<int>(first), static_cast<int>(second)});
      if (!joint_groups_[first].empty() || !joint_groups_[second].empty())
        join(static_cast<int>(first), static_cast<int>(second));
    }
  }
}

void PairModel::make_plain(int variable) {
  const Variable& v = model_->base().variables[static_cast<std::size_t>(variable)];
  Plain& made = plain_[static_cast<std::size_t>(variable)];
  made.any = v.together_any;
  made.placed = made.any && v.slots > 1;
  std::vector<AnswerSet> allowed(causes_, ~AnswerSet{0});
  for (std::size_t c = 0; c < causes_; ++c) {
    const int group = model_->group_of(static_cast<int>(c), variable);
    if (group < 0) continue;
    const GroupTable& table = model_->groups(static_cast<int>(c))[static_cast<std::size_t>(group)];
    if (!table.single() || table.needs.empty()) continue;
    allowed[c] = table.needs.front().allowed;
    made.needs = true;
  }
  const std::size_t length = model_->length();
  if (made.any) {
    const double* yes = model_->row(variable, 1);
    made.no.assign(length, 1.0);
    made.inverse.assign(length, 1.0);
    for (std::size_t c = 0; c < causes_; ++c) {
      const double p = v.base[1] * yes[c];
      made.no[c] = std::max(0.0, 1.0 - p);
      made.inverse[c] = 1.0 / (1.0 - std::min(v.base[1], p));
    }
  } else if (made.needs) {
    const auto mass = [&](std::size_t cause, AnswerSet left) {
      double sum = 0.0;
      for (int a = 0; a < v.size(); ++a)
        if ((left >> a) & 1u)
          sum += v.base[static_cast<std::size_t>(a)] * model_->row(variable, a)[cause];
      return sum;
    };
    made.inverse_mass.assign(causes_, CauseRow(length, 1.0));
    for (std::size_t c = 0; c < causes_; ++c)
      for (std::size_t d = c + 1; d < causes_; ++d) {
        const double both = mass(c, allowed[d]) + mass(d, allowed[c]);
        made.inverse_mass[c][d] = both > 0.0 ? 1.0 / both : 0.0;
      }
    for (std::size_t c = 0; c < causes_; ++c)
      made.silent_mass.push_back(1.0 / (1.0 + base_mass(v, allowed[c])));
  }
  for (std::size_t c = 0; c < causes_; ++c) {
    bool speaks = false;
    for (int a = 0; a < v.size(); ++a) speaks = speaks || model_->row(variable, a)[c] != 1.0;
    if (!speaks) continue;
    made.speaks.push_back(static_cast<int>(c));
    set_bit(speaks_[c], static_cast<std::size_t>(variable));
  }
  std::vector<CauseRow> over;
  for (int a = 0; v.slots == 1 && a < v.size(); ++a) {
    KnownVariable known;
    known.variable = variable;
    known.answer = a;
    known.row = model_->row(variable, a);
    over.emplace_back(length);
    over_silence(known, over.back().data());
  }
  made.over = std::move(over);
}

PairModel::Side PairModel::add_side(int cause, const std::vector<int>& groups, int other,
                                    const std::vector<int>& other_groups) {
  const RuleBase& base = model_->base();
  Side side;
  side.cause = cause;
  side.bare.begin = static_cast<std::uint32_t>(bare_.size());
  std::vector<std::vector<GroupMask>> masks(groups.size());
  for (const int g : other_groups) {
    const GroupTable& table = model_->groups(other)[static_cast<std::size_t>(g)];
    for (const GroupMask& need : table.needs) {
      const int variable = table.variables[static_cast<std::size_t>(need.position)];
      const int own = model_->group_of(cause, variable);
      if (own < 0) {
        bare_.push_back({variable, base_mass(base.variables[static_cast<std::size_t>(variable)],
                                             need.allowed)});
        side.mass *= bare_.back().mass;
        continue;
      }
      const GroupTable& target = model_->groups(cause)[static_cast<std::size_t>(own)];
      const auto at = std::lower_bound(target.variables.begin(), target.variables.end(), variable);
      const auto index = std::find(groups.begin(), groups.end(), own) - groups.begin();
      masks[static_cast<std::size_t>(index)].push_back(
          {static_cast<int>(at - target.variables.begin()), need.allowed});
    }
  }
  side.bare.end = static_cast<std::uint32_t>(bare_.size());
  side.terms.begin = static_cast<std::uint32_t>(terms_.size());
  for (std::size_t i = 0; i < groups.size(); ++i) {
    const GroupTable& group = model_->groups(cause)[static_cast<std::size_t>(groups[i])];
    Term term;
    term.group = groups[i];
    term.masks.begin = static_cast<std::uint32_t>(masks_.size());
    if (!masks[i].empty()) {
      masks_.insert(masks_.end(), masks[i].begin(), masks[i].end());
      side.mass *= model_->masked(group, {masks[i].data(), masks[i].data() + masks[i].size()},
                                  Answers(static_cast<std::size_t>(base.slot_count), -1));
    } else if (group.single()) {
      term.variable = group.variables[0];
    } else {
      term.joint = joint_at_[static_cast<std::size_t>(cause)][static_cast<std::size_t>(groups[i])];
    }
    term.masks.end = static_cast<std::uint32_t>(masks_.size());
    terms_.push_back(term);
  }
  side.terms.end = static_cast<std::uint32_t>(terms_.size());
  return side;
}

// Of the components of the latest pair in which some group is of more than one variable, those that
// are worked out for it alone.
void PairModel::join(int first, int second) {
  const int cause[2] = {first, second};
  std::vector<int> groups[2], taken[2], apart;
  const auto table = [&](int member, int group) -> const GroupTable& {
    return model_->groups(cause[member])[static_cast<std::size_t>(group)];
  };
  Special made;
  made.joints.begin = static_cast<std::uint32_t>(joints_.size());
  for (const int member : {0, 1})
    for (const int start : joint_groups_[static_cast<std::size_t>(cause[member])]) {
      if (contains(taken[member], start)) continue;
      for (std::vector<int>& side : groups) side.clear();
      std::vector<std::pair<int, int>> waiting = {{member, start}};
      taken[member].push_back(start);
      std::vector<int> variables;
      int of_many = 0;
      bool needs = false;
      while (!waiting.empty()) {
        const auto [of, group] = waiting.back();
        waiting.pop_back();
        groups[of].push_back(group);
        of_many += table(of, group).single() ? 0 : 1;
        needs = needs || !table(of, group).needs.empty();
        for (const int v : table(of, group).variables) {
          variables.push_back(v);
          const int met = model_->group_of(cause[1 - of], v);
          if (met < 0 || contains(taken[1 - of], met)) continue;
          taken[1 - of].push_back(met);
          waiting.emplace_back(1 - of, met);
        }
      }
      if (of_many == 1 && !needs) {
        apart.push_back(
            joint_at_[static_cast<std::size_t>(cause[member])][static_cast<std::size_t>(start)]);
        continue;
      }
      for (std::vector<int>& side : groups) std::sort(side.begin(), side.end());
      std::sort(variables.begin(), variables.end());
      variables.erase(std::unique(variables.begin(), variables.end()), variables.end());
      Joint joint;
      joint.variables.begin = static_cast<std::uint32_t>(joint_variables_.size());
      joint_variables_.insert(joint_variables_.end(), variables.begin(), variables.end());
      joint.variables.end = static_cast<std::uint32_t>(joint_variables_.size());
      joint.first = add_side(first, groups[0], second, groups[1]);
      joint.second = add_side(second, groups[1], first, groups[0]);
      joints_.push_back(joint);
    }
  made.joints.end = static_cast<std::uint32_t>(joints_.size());
  if (made.joints.begin == made.joints.end) return;
  made.pair = pairs_.back();
  made.apart.begin = static_cast<std::uint32_t>(apart_.size());
  apart_.insert(apart_.end(), apart.begin(), apart.end());
  made.apart.end = static_cast<std::uint32_t>(apart_.size());
  special_.push_back(made);
}

}  // namespace perrev
