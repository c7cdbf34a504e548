#include "engine/reasoning/pairs.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace perrev {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();
// Products nearer to the ends of what a double holds are worked out again in logarithms.
constexpr double kSmallest = 1e-290, kLargest = 1e290;

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

// The loops below are compiled twice where the compiler can, for the vector units that a machine
// has; the results are the same to the bit. Sanitizers cannot start such functions.
#if defined(__x86_64__) && defined(__ELF__) && !defined(__SANITIZE_ADDRESS__) && \
    !defined(PERREV_PLAIN_LOOPS)
#define PERREV_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define PERREV_WIDE
#endif

PERREV_WIDE void times_mean(double* p, const double* row, const double* over, double own,
                            std::size_t from, std::size_t to) {
  for (std::size_t d = from; d < to; ++d) p[d] *= 0.5 * (own + row[d]) * over[d];
}

PERREV_WIDE void times_needs(double* p, const double* row, const double* inverse_mass,
                             const double* over, double own, std::size_t from, std::size_t to) {
  for (std::size_t d = from; d < to; ++d) p[d] *= (own + row[d]) * inverse_mass[d] * over[d];
}

// `together: any`: p *= (fixed + scale * no * min(own, inverse)) * over.
PERREV_WIDE void times_any(double* p, const double* no, const double* inverse, const double* over,
                           double own, double fixed, double scale, std::size_t from,
                           std::size_t to) {
  for (std::size_t d = from; d < to; ++d)
    p[d] *= (fixed + scale * no[d] * (inverse[d] < own ? inverse[d] : own)) * over[d];
}

// The same read per place; `row` is the mean over places, `says_no` and `says_yes` the values at
// one.
struct Placed {
  const double *row, *says_no, *says_yes, *no, *inverse, *over;
  double own, apart_no, apart_yes, own_inverse, fixed, scale;
};
PERREV_WIDE void times_placed(double* p, const Placed& x, std::size_t from, std::size_t to) {
  for (std::size_t d = from; d < to; ++d)
    p[d] *= (x.own * x.row[d] - x.apart_no * x.says_no[d] - x.apart_yes * x.says_yes[d] + x.fixed +
             x.scale * x.no[d] * (x.inverse[d] < x.own_inverse ? x.inverse[d] : x.own_inverse)) *
            x.over[d];
}

}  // namespace

PairModel::PairModel(const AnswerModel& model)
    : model_(&model), causes_(model.base().causes.size()) {
  const RuleBase& base = model.base();
  plain_.resize(base.variables.size());
  pair_at_.assign(causes_ * causes_, -1);
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
  for (std::size_t v = 0; v < plain_.size(); ++v)
    if (plain_[v].needs) needed_.push_back(v);
  for (std::size_t first = 0; first < causes_; ++first)
    for (std::size_t second = first + 1; second < causes_; ++second) {
      const std::vector<int>& never = base.causes[first].not_with;
      if (std::binary_search(never.begin(), never.end(), static_cast<int>(second))) continue;
      if (exclude_each_other(base.causes[first], base.causes[second])) continue;
      const std::size_t joints = joints_.size();
      if (!joint_groups_[first].empty() || !joint_groups_[second].empty())
        join(static_cast<int>(first), static_cast<int>(second));
      if (!possible(first, second, joints)) {
        joints_.resize(joints);
        continue;
      }
      pair_at_[first * causes_ + second] = static_cast<int>(pairs_.size());
      pairs_.push_back({static_cast<int>(first), static_cast<int>(second)});
      first_joint_.push_back(joints);
    }
  first_joint_.push_back(joints_.size());
}

// Two causes whose needs shut each other out are no hypothesis. `joints` is where the pair's joints
// begin.
bool PairModel::possible(std::size_t first, std::size_t second, std::size_t joints) const {
  for (const std::size_t v : needed_) {
    const Plain& plain = plain_[v];
    if (plain.any) {
      const double one = plain.no[first], other = plain.no[second];
      if ((one <= 0.0 && other >= 1.0) || (one >= 1.0 && other <= 0.0)) return false;
    } else if (plain.inverse_mass[first * causes_ + second] <= 0.0) {
      return false;
    }
  }
  return std::all_of(
      joints_.begin() + static_cast<std::ptrdiff_t>(joints), joints_.end(),
      [](const Joint& joint) { return joint.first.mass > 0.0 && joint.second.mass > 0.0; });
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
  if (made.any) {
    const double* yes = model_->row(variable, 1);
    for (std::size_t c = 0; c < causes_; ++c) {
      const double p = v.base[1] * yes[c];
      made.no.push_back(1.0 - p);
      made.inverse.push_back(1.0 / (1.0 - std::min(v.base[1], p)));
    }
  } else if (made.needs) {
    const auto mass = [&](std::size_t cause, AnswerSet left) {
      double sum = 0.0;
      for (int a = 0; a < v.size(); ++a)
        if ((left >> a) & 1u)
          sum += v.base[static_cast<std::size_t>(a)] * model_->row(variable, a)[cause];
      return sum;
    };
    made.inverse_mass.resize(causes_ * causes_);
    for (std::size_t c = 0; c < causes_; ++c)
      for (std::size_t d = c + 1; d < causes_; ++d) {
        const double both = mass(c, allowed[d]) + mass(d, allowed[c]);
        made.inverse_mass[c * causes_ + d] = both > 0.0 ? 1.0 / both : 0.0;
      }
    for (std::size_t c = 0; c < causes_; ++c)
      made.silent_mass.push_back(1.0 / (1.0 + base_mass(v, allowed[c])));
  }
  for (std::size_t c = 0; c < causes_; ++c) {
    bool speaks = false;
    for (int a = 0; a < v.size(); ++a) speaks = speaks || model_->row(variable, a)[c] != 1.0;
    made.speaks.push_back(speaks);
  }
  if (v.slots > 1) return;
  for (int a = 0; a < v.size(); ++a) {
    Known known;
    known.variable = variable;
    known.answer = a;
    known.row = model_->row(variable, a);
    made.over.emplace_back();
    for (std::size_t c = 0; c < causes_; ++c)
      made.over.back().push_back(1.0 / beside_silence(known, c));
  }
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
      side.mass *=
          model_->masked(group, masks[i], Answers(static_cast<std::size_t>(base.slot_count), -1));
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

// The components of a pair in which some group is of more than one variable.
void PairModel::join(int first, int second) {
  const int cause[2] = {first, second};
  std::vector<int> groups[2], taken[2];
  for (const int member : {0, 1})
    for (const int start : joint_groups_[static_cast<std::size_t>(cause[member])]) {
      if (contains(taken[member], start)) continue;
      for (std::vector<int>& side : groups) side.clear();
      std::vector<std::pair<int, int>> waiting = {{member, start}};
      taken[member].push_back(start);
      std::vector<int> variables;
      while (!waiting.empty()) {
        const auto [of, group] = waiting.back();
        waiting.pop_back();
        groups[of].push_back(group);
        for (const int v : model_->groups(cause[of])[static_cast<std::size_t>(group)].variables) {
          variables.push_back(v);
          const int met = model_->group_of(cause[1 - of], v);
          if (met < 0 || contains(taken[1 - of], met)) continue;
          taken[1 - of].push_back(met);
          waiting.emplace_back(1 - of, met);
        }
      }
      for (std::vector<int>& side : groups) std::sort(side.begin(), side.end());
      std::sort(variables.begin(), variables.end());
      variables.erase(std::unique(variables.begin(), variables.end()), variables.end());
      Joint made;
      made.variables.begin = static_cast<std::uint32_t>(joint_variables_.size());
      joint_variables_.insert(joint_variables_.end(), variables.begin(), variables.end());
      made.variables.end = static_cast<std::uint32_t>(joint_variables_.size());
      made.first = add_side(first, groups[0], second, groups[1]);
      made.second = add_side(second, groups[1], first, groups[0]);
      joints_.push_back(made);
    }
}

double PairModel::any_value(int variable, int answer, double first_yes, double second_yes) const {
  const Variable& v = model_->base().variables[static_cast<std::size_t>(variable)];
  const double least = std::min({v.base[1], first_yes, second_yes});
  // Yes is impossible for a member whose P(yes) is 0: then it is impossible for the pair.
  const double no = first_yes <= 0.0 || second_yes <= 0.0
                        ? 1.0
                        : (1.0 - first_yes) * (1.0 - second_yes) / (1.0 - least);
  return answer == 1 ? (1.0 - no) / v.base[1] : no / v.base[0];
}

double PairModel::plain_value(const Known& known, std::size_t first, std::size_t second) const {
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
  return both * (plain.needs ? plain.inverse_mass[first * causes_ + second] : 0.5);
}

// The value of a known variable for a pair of `cause` and one whose rules say nothing of it.
double PairModel::beside_silence(const Known& known, std::size_t cause) const {
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

// What a known variable says of `cause` with every cause after it, over what those causes were
// counted for alone.
void PairModel::times_known(const Known& known, std::size_t cause, double* product) const {
  const Plain& plain = plain_[static_cast<std::size_t>(known.variable)];
  const std::vector<double>& base =
      model_->base().variables[static_cast<std::size_t>(known.variable)].base;
  const std::size_t next = cause + 1;
  if (plain.needs && plain.any) {
    for (std::size_t d = next; d < causes_; ++d)
      product[d] *= plain_value(known, cause, d) * known.over[d];
  } else if (plain.needs) {
    times_needs(product, known.row, plain.inverse_mass.data() + cause * causes_, known.over,
                known.row[cause], next, causes_);
  } else if (plain.placed) {
    // As in plain_value, with everything that hangs on the first cause taken out of the loop.
    const double* const says_no = model_->row(known.variable, 0);
    const double* const says_yes = model_->row(known.variable, 1);
    const double places = known.no + known.yes + known.open, scale = 1.0 / (places * places);
    times_placed(
        product,
        {known.row, says_no, says_yes, plain.no.data(), plain.inverse.data(), known.over,
         known.row[cause], known.no * says_no[cause] * scale, known.yes * says_yes[cause] * scale,
         plain.inverse[cause], known.yes / base[1] * scale,
         (known.no / base[0] - known.yes / base[1]) * plain.no[cause] * scale},
        next, causes_);
  } else if (plain.any) {
    const bool yes = known.answer == 1;
    const double scale = yes ? -plain.no[cause] / base[1] : plain.no[cause] / base[0];
    times_any(product, plain.no.data(), plain.inverse.data(), known.over, plain.inverse[cause],
              yes ? 1.0 / base[1] : 0.0, scale, next, causes_);
  } else {
    times_mean(product, known.row, known.over, known.row[cause], next, causes_);
  }
}

PairModel::Ready PairModel::make_ready(const Answers& answers) const {
  const RuleBase& base = model_->base();
  Ready out;
  out.known_at.assign(base.variables.size(), -1);
  out.rooms.resize(base.variables.size());
  out.over_rooms.resize(base.variables.size());
  out.silent.assign(causes_, 1.0);
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    const int variable = static_cast<int>(v);
    if (!model_->anything_known(variable, answers)) continue;
    const Variable& read = base.variables[v];
    Known made;
    made.variable = variable;
    made.answer = answers[static_cast<std::size_t>(read.first_slot)];
    made.row = model_->known_row(variable, answers, out.rooms[v]);
    for (int slot = 0; slot < read.slots; ++slot) {
      const int answer = answers[static_cast<std::size_t>(read.first_slot + slot)];
      (answer < 0 ? made.open : answer == 0 ? made.no : made.yes) += 1.0;
    }
    if (read.slots == 1) {
      made.over = plain_[v].over[static_cast<std::size_t>(made.answer)].data();
    } else {
      for (std::size_t c = 0; c < causes_; ++c)
        out.over_rooms[v].push_back(1.0 / beside_silence(made, c));
      made.over = out.over_rooms[v].data();
    }
    for (std::size_t c = 0; c < causes_; ++c) out.silent[c] /= made.over[c];
    out.known_at[v] = static_cast<int>(out.known.size());
    out.known.push_back(made);
  }
  for (const AnswerModel::GroupRef& joint : model_->joint_groups())
    out.joint_values.push_back(
        model_->value(model_->groups(joint.cause)[static_cast<std::size_t>(joint.group)], answers));
  return out;
}

double PairModel::side_value(const Side& side, const Ready& ready, const Answers& answers) const {
  double value = 1.0;
  for (std::uint32_t t = side.terms.begin; t < side.terms.end; ++t) {
    const Term& term = terms_[t];
    if (term.joint >= 0) {
      value *= ready.joint_values[static_cast<std::size_t>(term.joint)];
    } else if (term.variable >= 0) {
      const int at = ready.known_at[static_cast<std::size_t>(term.variable)];
      if (at >= 0)
        value *=
            ready.known[static_cast<std::size_t>(at)].row[static_cast<std::size_t>(side.cause)];
    } else {
      const std::vector<GroupMask> masks(masks_.begin() + term.masks.begin,
                                         masks_.begin() + term.masks.end);
      value *= model_->masked(model_->groups(side.cause)[static_cast<std::size_t>(term.group)],
                              masks, answers);
    }
  }
  for (std::uint32_t b = side.bare.begin; b < side.bare.end; ++b)
    if (ready.known_at[static_cast<std::size_t>(bare_[b].variable)] < 0) value *= bare_[b].mass;
  return value;
}

// What a joint component is worth, over what the rows counted for its variables; 1 when nothing of
// it is known.
double PairModel::joint_ratio(const Joint& joint, const Ready& ready,
                              const Answers& answers) const {
  double counted = 1.0;
  bool any_known = false;
  for (std::uint32_t v = joint.variables.begin; v < joint.variables.end; ++v) {
    const int at = ready.known_at[static_cast<std::size_t>(joint_variables_[v])];
    if (at < 0) continue;
    any_known = true;
    counted *= plain_value(ready.known[static_cast<std::size_t>(at)],
                           static_cast<std::size_t>(joint.first.cause),
                           static_cast<std::size_t>(joint.second.cause));
  }
  if (!any_known) return 1.0;
  return (side_value(joint.first, ready, answers) + side_value(joint.second, ready, answers)) /
         (joint.first.mass + joint.second.mass) / counted;
}

std::vector<double> PairModel::log_weights(const Answers& answers,
                                           const std::vector<double>& log_single) const {
  const Ready ready = make_ready(answers);
  std::vector<double> out(pairs_.size(), kNever), product;
  for (std::size_t c = 0; c < causes_; ++c) {
    if (log_single[c] == kNever) continue;
    // What every other cause is worth beside one that says nothing; then what c does say.
    product = ready.silent;
    for (const Known& known : ready.known)
      if (plain_[static_cast<std::size_t>(known.variable)].speaks[c])
        times_known(known, c, product.data());
    const int* const pair_at = pair_at_.data() + c * causes_;
    for (std::size_t d = c + 1; d < causes_; ++d) {
      if (pair_at[d] < 0 || log_single[d] == kNever) continue;
      const std::size_t pair = static_cast<std::size_t>(pair_at[d]);
      double joint = 1.0;
      for (std::size_t j = first_joint_[pair]; j < first_joint_[pair + 1]; ++j)
        joint *= joint_ratio(joints_[j], ready, answers);
      const double value = product[d] * joint;
      if (value > kSmallest && value < kLargest) {
        out[pair] = std::log(value);
        continue;
      }
      out[pair] = std::log(joint);
      for (const Known& known : ready.known) out[pair] += std::log(plain_value(known, c, d));
    }
  }
  return out;
}

}  // namespace perrev
