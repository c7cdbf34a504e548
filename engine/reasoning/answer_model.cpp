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

// From `relative`, highest index first: to know one answer more is to look further up.
void sum_out(const RuleBase& base, GroupTable& group) {
  constexpr std::size_t kLargest = 20000;
  std::size_t cells = 1;
  for (const int size : group.sizes) {
    group.partial_strides.push_back(static_cast<int>(cells));
    cells *= static_cast<std::size_t>(size) + 1;
    if (cells > kLargest) return;
  }
  group.partial.assign(cells, 0.0);
  for (std::size_t cell = cells; cell-- > 0;) {
    int sheet = 0;
    std::size_t unknown = group.sizes.size();
    for (std::size_t i = 0; i < group.sizes.size() && unknown == group.sizes.size(); ++i) {
      const int told = static_cast<int>(cell) / group.partial_strides[i] % (group.sizes[i] + 1);
      if (told == 0) unknown = i;
      sheet += (told - 1) * group.strides[i];
    }
    if (unknown == group.sizes.size()) {
      group.partial[cell] = group.relative[static_cast<std::size_t>(sheet)];
      continue;
    }
    const std::vector<double>& rates =
        base.variables[static_cast<std::size_t>(group.variables[unknown])].base;
    for (std::size_t a = 0; a < rates.size(); ++a)
      group.partial[cell] +=
          rates[a] *
          group.partial[cell + (a + 1) * static_cast<std::size_t>(group.partial_strides[unknown])];
  }
}

// `answers` is room for one answer a variable.
GroupTable tabulate(const RuleBase& base, const FactGroup& group, std::vector<int>& answers) {
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
  if (!out.single()) sum_out(base, out);
  return out;
}

}  // namespace

AnswerModel::AnswerModel(const RuleBase& base)
    : base_(&base), width_(base.causes.size() + 1), length_(whole_steps(width_)) {
  std::size_t cells = 0;
  for (const Variable& variable : base.variables) {
    slots_.push_back({variable.first_slot, variable.slots});
    row_at_.push_back(cells);
    cells += static_cast<std::size_t>(variable.size()) * length_;
  }
  rows_.assign(cells, 1.0);
  log_rows_.assign(cells, 0.0);
  tied_.assign(base.variables.size() * width_, 0);
  std::vector<int> scratch(base.variables.size(), -1);
  const std::vector<std::vector<FactGroup>> all = all_groups(base);
  for (std::size_t cause = 0; cause < all.size(); ++cause) {
    groups_.emplace_back();
    group_of_.emplace_back(base.variables.size(), -1);
    for (const FactGroup& group : all[cause]) {
      const int index = static_cast<int>(groups_.back().size());
      for (const int variable : group.variables)
        group_of_.back()[static_cast<std::size_t>(variable)] = index;
      groups_.back().push_back(tabulate(base, group, scratch));
      const GroupTable& table = groups_.back().back();
      if (!table.single()) {
        joint_groups_.push_back({static_cast<int>(cause), index});
        for (const int variable : table.variables)
          tied_[static_cast<std::size_t>(variable) * width_ + cause] = 1;
        continue;
      }
      std::size_t cell = row_at_[static_cast<std::size_t>(table.variables[0])] + cause;
      for (const double relative : table.relative) {
        rows_[cell] = relative;
        log_rows_[cell] = std::log(relative);
        cell += length_;
      }
    }
  }
}

double AnswerModel::sum(const GroupTable& group, const GroupMasks& masks, const Answers& answers,
                        int place, std::size_t depth, std::size_t sheet) const {
  if (depth == group.variables.size()) return group.relative[sheet];
  const Variable& variable = base_->variables[static_cast<std::size_t>(group.variables[depth])];
  const int offset = variable.slots > 1 ? place : 0;
  const int known = answers[static_cast<std::size_t>(variable.first_slot + offset)];
  const std::size_t stride = static_cast<std::size_t>(group.strides[depth]);
  if (known >= 0)
    return sum(group, masks, answers, place, depth + 1,
               sheet + static_cast<std::size_t>(known) * stride);
  AnswerSet allowed = ~AnswerSet{0};
  for (const GroupMask& mask : masks)
    if (mask.position == static_cast<int>(depth)) allowed &= mask.allowed;
  double total = 0.0;
  for (int answer = 0; answer < group.sizes[depth]; ++answer)
    if ((allowed >> answer) & 1u)
      total += variable.base[static_cast<std::size_t>(answer)] *
               sum(group, masks, answers, place, depth + 1,
                   sheet + static_cast<std::size_t>(answer) * stride);
  return total;
}

bool AnswerModel::anything_known(int variable, const Answers& answers) const {
  const auto first = answers.begin() + slots(variable).first;
  return std::any_of(first, first + slots(variable).count, [](int answer) { return answer >= 0; });
}

bool AnswerModel::anything_known(const GroupTable& group, const Answers& answers) const {
  return std::any_of(group.variables.begin(), group.variables.end(),
                     [&](int v) { return anything_known(v, answers); });
}

double AnswerModel::value(const GroupTable& group, const Answers& answers) const {
  return anything_known(group, answers) ? known_value(group, answers) : 1.0;
}

double AnswerModel::known_value(const GroupTable& group, const Answers& answers) const {
  double total = 0.0;
  for (int place = 0; place < group.places; ++place)
    total += group.partial.empty() ? sum(group, {}, answers, place, 0, 0)
                                   : group.partial[partial_cell(group, answers, place)];
  return total / group.places;
}

std::size_t AnswerModel::partial_cell(const GroupTable& group, const Answers& answers,
                                      int place) const {
  int cell = 0;
  for (std::size_t i = 0; i < group.variables.size(); ++i) {
    const Slots& of = slots(group.variables[i]);
    const int slot = of.first + (of.count > 1 ? place : 0);
    cell += (answers[static_cast<std::size_t>(slot)] + 1) * group.partial_strides[i];
  }
  return static_cast<std::size_t>(cell);
}

double AnswerModel::masked(const GroupTable& group, const GroupMasks& masks,
                           const Answers& answers) const {
  double total = 0.0;
  for (int place = 0; place < group.places; ++place)
    total += sum(group, masks, answers, place, 0, 0);
  return total / group.places;
}

double AnswerModel::log_weight(int cause, const Answers& answers) const {
  return log_weights(answers)[static_cast<std::size_t>(cause)];
}

const double* AnswerModel::known_row(int variable, const Answers& answers, double* room) const {
  const Slots& of = slots(variable);
  if (of.count == 1) return row(variable, answers[static_cast<std::size_t>(of.first)]);
  double open = 0.0;
  std::fill(room, room + length_, 0.0);
  for (int slot = of.first; slot < of.first + of.count; ++slot) {
    const int answer = answers[static_cast<std::size_t>(slot)];
    if (answer < 0)
      open += 1.0;
    else
      add(room, row(variable, answer), 0, length_);
  }
  add_and_divide(room, open, of.count, 0, length_);
  return room;
}

// In the order of known_row, so that both say the same to the last bit.
double AnswerModel::known_value(int variable, int cause, const Answers& answers) const {
  const Slots& of = slots(variable);
  double sum = 0.0, open = 0.0;
  for (int slot = of.first; slot < of.first + of.count; ++slot) {
    const int answer = answers[static_cast<std::size_t>(slot)];
    if (answer < 0)
      open += 1.0;
    else
      sum += row(variable, answer)[cause];
  }
  return (sum + open) / of.count;
}

KnownVariable AnswerModel::known(int variable, const Answers& answers, double* room) const {
  const Slots& of = slots(variable);
  KnownVariable out;
  out.variable = variable;
  out.answer = answers[static_cast<std::size_t>(of.first)];
  out.row = known_row(variable, answers, room);
  for (int slot = of.first; slot < of.first + of.count; ++slot) {
    const int answer = answers[static_cast<std::size_t>(slot)];
    (answer < 0 ? out.open : answer == 0 ? out.no : out.yes) += 1.0;
  }
  return out;
}

KnownAnswers AnswerModel::look_up(const Answers& answers) const {
  KnownAnswers out;
  out.answers = &answers;
  out.known_at.assign(slots_.size(), -1);
  std::size_t in_rooms = 0;
  for (std::size_t v = 0; v < slots_.size(); ++v) {
    if (!anything_known(static_cast<int>(v), answers)) continue;
    out.known_at[v] = static_cast<int>(out.known.size());
    out.known.emplace_back().variable = static_cast<int>(v);
    in_rooms += slots_[v].count > 1 ? 1 : 0;
  }
  out.rooms.resize(in_rooms * length_);
  double* room = out.rooms.data();
  for (KnownVariable& of : out.known) {
    of = known(of.variable, answers, room);
    if (of.row == room) room += length_;
  }
  out.joint_values.assign(joint_groups_.size(), 1.0);
  for (std::size_t j = 0; j < joint_groups_.size(); ++j) {
    const GroupTable& group = table(joint_groups_[j]);
    if (std::none_of(group.variables.begin(), group.variables.end(),
                     [&](int v) { return out.known_at[static_cast<std::size_t>(v)] >= 0; }))
      continue;
    out.touched.push_back(static_cast<int>(j));
    out.joint_values[j] = known_value(group, answers);
  }
  return out;
}

std::vector<double> AnswerModel::log_weights(const KnownAnswers& told) const {
  std::vector<const double*> rows;
  rows.reserve(told.known.size());
  for (const KnownVariable& known : told.known) rows.push_back(known.row);
  CauseRow product(length_);
  product_of(product.data(), rows, length_);
  for (const int joint : told.touched) {
    const std::size_t j = static_cast<std::size_t>(joint);
    product[static_cast<std::size_t>(joint_groups_[j].cause)] *= told.joint_values[j];
  }
  std::vector<double> out(width_);
  for (std::size_t c = 0; c < width_; ++c)
    out[c] = held(product[c]) ? std::log(product[c]) : log_product(c, told);
  return out;
}

// Factor by factor.
double AnswerModel::log_product(std::size_t cause, const KnownAnswers& told) const {
  double out = 0.0;
  for (const KnownVariable& known : told.known) out += std::log(known.row[cause]);
  for (const int joint : told.touched) {
    const std::size_t j = static_cast<std::size_t>(joint);
    if (static_cast<std::size_t>(joint_groups_[j].cause) == cause)
      out += std::log(told.joint_values[j]);
  }
  return out;
}

}  // namespace perrev
