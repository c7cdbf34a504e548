#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/reasoning/pairs.h"

namespace perrev {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();
// Products nearer to the ends of what a double holds are worked out again in logarithms.
constexpr double kSmallest = 1e-290, kLargest = 1e290;

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

// Without `over`.
PairModel::Known PairModel::read_known(int variable, const Answers& answers,
                                       std::vector<double>& room) const {
  const Variable& read = model_->base().variables[static_cast<std::size_t>(variable)];
  Known made;
  made.variable = variable;
  made.answer = answers[static_cast<std::size_t>(read.first_slot)];
  made.row = model_->known_row(variable, answers, room);
  for (int slot = 0; slot < read.slots; ++slot) {
    const int answer = answers[static_cast<std::size_t>(read.first_slot + slot)];
    (answer < 0 ? made.open : answer == 0 ? made.no : made.yes) += 1.0;
  }
  return made;
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
    Known made = read_known(variable, answers, out.rooms[v]);
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
  for (const AnswerModel::GroupRef& joint : model_->joint_groups()) {
    out.joint_values.push_back(
        model_->value(model_->groups(joint.cause)[static_cast<std::size_t>(joint.group)], answers));
    out.joint_silent.push_back(0.5 * (out.joint_values.back() + 1.0));
  }
  return out;
}

double PairModel::log_beside_silence(int cause, const Answers& answers,
                                     const std::function<bool(int)>& of) const {
  double out = 0.0;
  std::vector<double> room;
  for (const GroupTable& group : model_->groups(cause)) {
    if (!of(group.variables.front()) || !model_->anything_known(group, answers)) continue;
    out +=
        std::log(group.single() ? beside_silence(read_known(group.variables.front(), answers, room),
                                                 static_cast<std::size_t>(cause))
                                : 0.5 * (model_->value(group, answers) + 1.0));
  }
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
      const std::vector<GroupMask> masks(masks_.data() + term.masks.begin,
                                         masks_.data() + term.masks.end);
      value *= model_->masked(model_->groups(side.cause)[static_cast<std::size_t>(term.group)],
                              masks, answers);
    }
  }
  for (std::uint32_t b = side.bare.begin; b < side.bare.end; ++b)
    if (ready.known_at[static_cast<std::size_t>(bare_[b].variable)] < 0) value *= bare_[b].mass;
  return value;
}

double PairModel::side_now(const Side& side, const Answers& answers) const {
  double value = 1.0;
  for (std::uint32_t t = side.terms.begin; t < side.terms.end; ++t) {
    const GroupTable& group = model_->groups(side.cause)[static_cast<std::size_t>(terms_[t].group)];
    const std::vector<GroupMask> masks(masks_.data() + terms_[t].masks.begin,
                                       masks_.data() + terms_[t].masks.end);
    value *= masks.empty() ? model_->value(group, answers) : model_->masked(group, masks, answers);
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
  const std::size_t one = static_cast<std::size_t>(first), other = static_cast<std::size_t>(second);
  const Joints& of = joints_of_[static_cast<std::size_t>(pair_at_[one * causes_ + other])];
  for (std::uint32_t i = of.beside_silence.begin; i < of.beside_silence.end; ++i) {
    const AnswerModel::GroupRef& joint =
        model_->joint_groups()[static_cast<std::size_t>(alone_[i])];
    const GroupTable& group = model_->groups(joint.cause)[static_cast<std::size_t>(joint.group)];
    if (std::binary_search(group.variables.begin(), group.variables.end(), variable))
      return 0.5 * (model_->value(group, answers) + 1.0);
  }
  for (std::uint32_t j = of.of_both.begin; j < of.of_both.end; ++j) {
    const Joint& joint = joints_[j];
    const auto begin = joint_variables_.data() + joint.variables.begin;
    const auto end = joint_variables_.data() + joint.variables.end;
    if (std::find(begin, end, variable) != end)
      return (side_now(joint.first, answers) + side_now(joint.second, answers)) /
             (joint.first.mass + joint.second.mass);
  }
  if (!model_->anything_known(variable, answers)) return 1.0;
  std::vector<double> room;
  return plain_value(read_known(variable, answers, room), one, other);
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
      const Joints& of = joints_of_[pair];
      double joint = 1.0;
      for (std::uint32_t i = of.beside_silence.begin; i < of.beside_silence.end; ++i)
        joint *= ready.joint_silent[static_cast<std::size_t>(alone_[i])];
      for (std::uint32_t j = of.of_both.begin; j < of.of_both.end; ++j)
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
