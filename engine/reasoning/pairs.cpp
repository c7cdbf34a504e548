#include "engine/reasoning/pairs.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace perrev {

namespace {

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

PairModel::PairModel(const AnswerModel& model) : model_(&model) {
  const RuleBase& base = model.base();
  const int causes = static_cast<int>(base.causes.size());
  for (int c = 0; c < causes; ++c) {
    first_use_.push_back(static_cast<int>(uses_.size()));
    for (std::size_t g = 0; g < model.groups(c).size(); ++g)
      uses_.push_back({c, static_cast<int>(g), {}, 1.0});
  }
  variants_.resize(uses_.size());
  for (int first = 0; first < causes; ++first)
    for (int second = first + 1; second < causes; ++second) {
      const Cause& one = base.causes[static_cast<std::size_t>(first)];
      if (std::binary_search(one.not_with.begin(), one.not_with.end(), second)) continue;
      if (exclude_each_other(one, base.causes[static_cast<std::size_t>(second)])) continue;
      pairs_.push_back({first, second});
      first_component_.push_back(components_.size());
      join(first, second);
    }
  first_component_.push_back(components_.size());
}

int PairModel::masked_use(int cause, int group, std::vector<GroupMask> masks) {
  const int plain = plain_use(cause, group);
  if (masks.empty()) return plain;
  for (const int use : variants_[static_cast<std::size_t>(plain)])
    if (uses_[static_cast<std::size_t>(use)].masks == masks) return use;
  const Answers nothing(static_cast<std::size_t>(model_->base().slot_count), -1);
  Use made{cause, group, std::move(masks), 1.0};
  made.mass =
      model_->masked(model_->groups(cause)[static_cast<std::size_t>(group)], made.masks, nothing);
  variants_[static_cast<std::size_t>(plain)].push_back(static_cast<int>(uses_.size()));
  uses_.push_back(std::move(made));
  return static_cast<int>(uses_.size()) - 1;
}

PairModel::Side PairModel::side_of(int cause, const std::vector<int>& groups, int other,
                                   const std::vector<int>& other_groups) {
  Side side;
  std::vector<std::vector<GroupMask>> masks(groups.size());
  for (const int g : other_groups) {
    const GroupTable& table = model_->groups(other)[static_cast<std::size_t>(g)];
    for (const GroupMask& need : table.needs) {
      const int variable = table.variables[static_cast<std::size_t>(need.position)];
      const int own = model_->group_of(cause, variable);
      if (own < 0) {
        side.bare.push_back(
            {variable, base_mass(model_->base().variables[static_cast<std::size_t>(variable)],
                                 need.allowed)});
        side.mass *= side.bare.back().mass;
        continue;
      }
      const GroupTable& target = model_->groups(cause)[static_cast<std::size_t>(own)];
      const auto at = std::lower_bound(target.variables.begin(), target.variables.end(), variable);
      const auto index = std::find(groups.begin(), groups.end(), own) - groups.begin();
      masks[static_cast<std::size_t>(index)].push_back(
          {static_cast<int>(at - target.variables.begin()), need.allowed});
    }
  }
  for (std::size_t i = 0; i < groups.size(); ++i) {
    side.uses.push_back(masked_use(cause, groups[i], std::move(masks[i])));
    side.mass *= uses_[static_cast<std::size_t>(side.uses.back())].mass;
  }
  return side;
}

void PairModel::join(int first, int second) {
  const auto& of_first = model_->groups(first);
  const auto& of_second = model_->groups(second);
  std::vector<char> seen_first(of_first.size(), 0), seen_second(of_second.size(), 0);
  for (std::size_t start = 0; start < of_first.size(); ++start) {
    if (seen_first[start]) continue;
    std::vector<int> groups_first = {static_cast<int>(start)}, groups_second;
    seen_first[start] = 1;
    std::size_t done_first = 0, done_second = 0;
    while (done_first < groups_first.size() || done_second < groups_second.size()) {
      if (done_first < groups_first.size()) {
        for (const int v :
             of_first[static_cast<std::size_t>(groups_first[done_first++])].variables) {
          const int g = model_->group_of(second, v);
          if (g >= 0 && !std::exchange(seen_second[static_cast<std::size_t>(g)], 1))
            groups_second.push_back(g);
        }
      } else {
        for (const int v :
             of_second[static_cast<std::size_t>(groups_second[done_second++])].variables) {
          const int g = model_->group_of(first, v);
          if (g >= 0 && !std::exchange(seen_first[static_cast<std::size_t>(g)], 1))
            groups_first.push_back(g);
        }
      }
    }
    if (groups_second.empty()) continue;  // only `first` has a say: valued alone
    const GroupTable& one = of_first[static_cast<std::size_t>(groups_first[0])];
    const GroupTable& other = of_second[static_cast<std::size_t>(groups_second[0])];
    const bool simple = groups_first.size() == 1 && groups_second.size() == 1;
    const bool needs =
        std::any_of(groups_first.begin(), groups_first.end(),
                    [&](int g) { return !of_first[static_cast<std::size_t>(g)].needs.empty(); }) ||
        std::any_of(groups_second.begin(), groups_second.end(),
                    [&](int g) { return !of_second[static_cast<std::size_t>(g)].needs.empty(); });
    Component made;
    if (simple && one.single() && other.single() && one.places == 1 &&
        model_->base().variables[static_cast<std::size_t>(one.variables[0])].together_any) {
      made = {plain_use(first, groups_first[0]), plain_use(second, groups_second[0]),
              Component::Kind::any};
    } else if (simple && !needs) {
      made = {plain_use(first, groups_first[0]), plain_use(second, groups_second[0]),
              Component::Kind::either};
    } else {
      std::sort(groups_first.begin(), groups_first.end());
      std::sort(groups_second.begin(), groups_second.end());
      sides_.push_back(side_of(first, groups_first, second, groups_second));
      sides_.push_back(side_of(second, groups_second, first, groups_first));
      made = {static_cast<int>(sides_.size()) - 2, static_cast<int>(sides_.size()) - 1,
              Component::Kind::general};
    }
    components_.push_back(made);
  }
}

// The pair's value at the known answer of a `together: any` variable, relative to its base rate.
double PairModel::any_value(int variable, double first_yes, double second_yes,
                            const Answers& answers) const {
  const Variable& v = model_->base().variables[static_cast<std::size_t>(variable)];
  const double least = std::min({v.base[1], first_yes, second_yes});
  const double no = least < 1.0 ? (1.0 - first_yes) * (1.0 - second_yes) / (1.0 - least) : 0.0;
  // Yes is impossible for a member whose P(yes) is 0: then it is impossible for the pair.
  const double pair_no = first_yes <= 0.0 || second_yes <= 0.0 ? 1.0 : no;
  const bool yes = answers[static_cast<std::size_t>(v.first_slot)] == 1;
  return yes ? (1.0 - pair_no) / v.base[1] : pair_no / v.base[0];
}

// Base mass of what the needs in a group leave open: 1 for a need whose variable is known (and
// allowed).
double PairModel::needs_mass(const GroupTable& group, const Answers* answers) const {
  double mass = 1.0;
  for (const GroupMask& need : group.needs) {
    const Variable& v = model_->base().variables[static_cast<std::size_t>(
        group.variables[static_cast<std::size_t>(need.position)])];
    if (!answers || (*answers)[static_cast<std::size_t>(v.first_slot)] < 0)
      mass *= base_mass(v, need.allowed);
  }
  return mass;
}

double PairModel::alone_value(const Use& use, double value, const Answers& answers) const {
  const GroupTable& group = model_->groups(use.cause)[static_cast<std::size_t>(use.group)];
  if (group.single() && group.places == 1) {
    const Variable& v = model_->base().variables[static_cast<std::size_t>(group.variables[0])];
    if (v.together_any)
      return any_value(group.variables[0], v.base[1] * group.relative[1], v.base[1], answers);
  }
  if (group.needs.empty()) return 0.5 * (value + 1.0);
  return (value + needs_mass(group, &answers)) / (1.0 + needs_mass(group, nullptr));
}

PairModel::Values PairModel::values(const Answers& answers) const {
  Values out;
  out.use.assign(uses_.size(), 1.0);
  out.known.assign(uses_.size(), 0);
  out.alone.assign(variants_.size(), 1.0);
  for (std::size_t u = 0; u < uses_.size(); ++u) {
    const Use& use = uses_[u];
    const GroupTable& group = model_->groups(use.cause)[static_cast<std::size_t>(use.group)];
    out.known[u] = model_->anything_known(group, answers) ? 1 : 0;
    if (!out.known[u]) {
      out.use[u] = use.mass;
      continue;
    }
    out.use[u] = use.masks.empty() ? model_->value(group, answers)
                                   : model_->masked(group, use.masks, answers);
    if (u < variants_.size()) out.alone[u] = alone_value(use, out.use[u], answers);
  }
  return out;
}

double PairModel::side_value(const Side& side, const Values& values, const Answers& answers) const {
  double value = 1.0;
  for (const int use : side.uses) value *= values.use[static_cast<std::size_t>(use)];
  for (const Bare& bare : side.bare) {
    const Variable& v = model_->base().variables[static_cast<std::size_t>(bare.variable)];
    if (answers[static_cast<std::size_t>(v.first_slot)] < 0) value *= bare.mass;
  }
  return value;
}

// What the component is worth, divided by what its groups were counted for alone.
double PairModel::ratio(const Component& component, const Values& values,
                        const Answers& answers) const {
  if (component.kind == Component::Kind::general) {
    const Side& first = sides_[static_cast<std::size_t>(component.first)];
    const Side& second = sides_[static_cast<std::size_t>(component.second)];
    bool known = false;
    double alone = 1.0;
    for (const Side* side : {&first, &second})
      for (const int use : side->uses) {
        const Use& u = uses_[static_cast<std::size_t>(use)];
        const std::size_t plain = static_cast<std::size_t>(plain_use(u.cause, u.group));
        known = known || values.known[plain];
        alone *= values.alone[plain];
      }
    if (!known) return 1.0;
    return (side_value(first, values, answers) + side_value(second, values, answers)) /
           (first.mass + second.mass) / alone;
  }
  const std::size_t first = static_cast<std::size_t>(component.first),
                    second = static_cast<std::size_t>(component.second);
  if (!values.known[first] && !values.known[second]) return 1.0;
  const double alone = values.alone[first] * values.alone[second];
  if (component.kind == Component::Kind::either)
    return 0.5 * (values.use[first] + values.use[second]) / alone;
  const GroupTable& one =
      model_->groups(uses_[first].cause)[static_cast<std::size_t>(uses_[first].group)];
  const GroupTable& other =
      model_->groups(uses_[second].cause)[static_cast<std::size_t>(uses_[second].group)];
  const double base_yes =
      model_->base().variables[static_cast<std::size_t>(one.variables[0])].base[1];
  return any_value(one.variables[0], base_yes * one.relative[1], base_yes * other.relative[1],
                   answers) /
         alone;
}

std::vector<double> PairModel::log_weights(const Answers& answers,
                                           const std::vector<double>& log_single) const {
  constexpr double kNever = -std::numeric_limits<double>::infinity();
  const Values found = values(answers);
  std::vector<double> log_alone(first_use_.size(), 0.0);
  for (std::size_t u = 0; u < variants_.size(); ++u)
    if (found.known[u])
      log_alone[static_cast<std::size_t>(uses_[u].cause)] += std::log(found.alone[u]);
  std::vector<double> out(pairs_.size(), kNever);
  for (std::size_t p = 0; p < pairs_.size(); ++p) {
    const std::size_t first = static_cast<std::size_t>(pairs_[p].first),
                      second = static_cast<std::size_t>(pairs_[p].second);
    if (log_single[first] == kNever || log_single[second] == kNever) continue;
    double shared = 1.0;
    for (std::size_t c = first_component_[p]; c < first_component_[p + 1]; ++c)
      shared *= ratio(components_[c], found, answers);
    out[p] = log_alone[first] + log_alone[second] + std::log(shared);
  }
  return out;
}

}  // namespace perrev
