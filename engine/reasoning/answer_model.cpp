#include "engine/reasoning/answer_model.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace perrev {

namespace {

int position_of(const GroupTable& group, int variable) {
  return static_cast<int>(
      std::lower_bound(group.variables.begin(), group.variables.end(), variable) -
      group.variables.begin());
}

GroupTable tabulate(const RuleBase& base, const FactGroup& group) {
  GroupTable out;
  out.variables = group.variables;
  out.rules = group.rules;
  int sheets = 1;
  for (const int v : group.variables) {
    const Variable& variable = base.variables[static_cast<std::size_t>(v)];
    out.sizes.push_back(variable.size());
    out.strides.push_back(sheets);
    out.places = std::max(out.places, variable.slots);
    sheets *= variable.size();
  }
  for (const auto& [variable, allowed] : group.needs)
    out.needs.push_back({position_of(out, variable), allowed});

  std::vector<int> answers(base.variables.size(), -1);
  double total = 0.0;
  out.relative.assign(static_cast<std::size_t>(sheets), 0.0);
  for (int sheet = 0; sheet < sheets; ++sheet) {
    double base_rate = 1.0;
    bool possible = true;
    for (std::size_t i = 0; i < out.variables.size(); ++i) {
      const int answer = sheet / out.strides[i] % out.sizes[i];
      answers[static_cast<std::size_t>(out.variables[i])] = answer;
      base_rate *= base.variables[static_cast<std::size_t>(out.variables[i])]
                       .base[static_cast<std::size_t>(answer)];
    }
    for (const GroupMask& need : out.needs)
      possible = possible &&
                 ((need.allowed >> answers[static_cast<std::size_t>(
                                       out.variables[static_cast<std::size_t>(need.position)])]) &
                  1u);
    double log_strength = 0.0;
    for (const GroupRule& rule : out.rules)
      if (base.rules[static_cast<std::size_t>(rule.rule)].when.read(answers) == Truth::yes)
        log_strength += rule.log_ratio;
    const double relative = possible ? std::exp(log_strength) : 0.0;
    out.relative[static_cast<std::size_t>(sheet)] = relative;
    total += base_rate * relative;
  }
  for (double& relative : out.relative) relative /= total;
  return out;
}

}  // namespace

AnswerModel::AnswerModel(const RuleBase& base) : base_(&base) {
  const std::vector<std::vector<FactGroup>> all = all_groups(base);
  for (std::size_t cause = 0; cause < all.size(); ++cause) {
    groups_.emplace_back();
    group_of_.emplace_back(base.variables.size(), -1);
    for (const FactGroup& group : all[cause]) {
      for (const int variable : group.variables)
        group_of_.back()[static_cast<std::size_t>(variable)] =
            static_cast<int>(groups_.back().size());
      groups_.back().push_back(tabulate(base, group));
    }
  }
}

double AnswerModel::sum(const GroupTable& group, const std::vector<GroupMask>* masks,
                        const Answers& answers, int place, std::size_t depth,
                        std::size_t sheet) const {
  if (depth == group.variables.size()) return group.relative[sheet];
  const Variable& variable = base_->variables[static_cast<std::size_t>(group.variables[depth])];
  const int offset = variable.slots > 1 ? place : 0;
  const int known = answers[static_cast<std::size_t>(variable.first_slot + offset)];
  const std::size_t stride = static_cast<std::size_t>(group.strides[depth]);
  if (known >= 0)
    return sum(group, masks, answers, place, depth + 1,
               sheet + static_cast<std::size_t>(known) * stride);
  AnswerSet allowed = ~AnswerSet{0};
  if (masks)
    for (const GroupMask& mask : *masks)
      if (mask.position == static_cast<int>(depth)) allowed &= mask.allowed;
  double total = 0.0;
  for (int answer = 0; answer < group.sizes[depth]; ++answer)
    if ((allowed >> answer) & 1u)
      total += variable.base[static_cast<std::size_t>(answer)] *
               sum(group, masks, answers, place, depth + 1,
                   sheet + static_cast<std::size_t>(answer) * stride);
  return total;
}

bool AnswerModel::anything_known(const GroupTable& group, const Answers& answers) const {
  for (const int v : group.variables) {
    const Variable& variable = base_->variables[static_cast<std::size_t>(v)];
    for (int slot = 0; slot < variable.slots; ++slot)
      if (answers[static_cast<std::size_t>(variable.first_slot + slot)] >= 0) return true;
  }
  return false;
}

double AnswerModel::value(const GroupTable& group, const Answers& answers) const {
  if (!anything_known(group, answers)) return 1.0;
  double total = 0.0;
  for (int place = 0; place < group.places; ++place)
    total += sum(group, nullptr, answers, place, 0, 0);
  return total / group.places;
}

double AnswerModel::masked(const GroupTable& group, const std::vector<GroupMask>& masks,
                           const Answers& answers) const {
  double total = 0.0;
  for (int place = 0; place < group.places; ++place)
    total += sum(group, &masks, answers, place, 0, 0);
  return total / group.places;
}

double AnswerModel::log_weight(int cause, const Answers& answers) const {
  double total = 0.0;
  for (const GroupTable& group : groups(cause))
    if (anything_known(group, answers)) total += std::log(value(group, answers));
  return total;
}

}  // namespace perrev
