#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/reasoning/pairs.h"

namespace perrev {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

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

PERREV_WIDE void times(double* p, const double* by, std::size_t from, std::size_t to) {
  for (std::size_t d = from; d < to; ++d) p[d] *= by[d];
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
  const std::size_t width = model_->width();
  Ready out;
  out.known_at.assign(base.variables.size(), -1);
  out.silent.assign(causes_, 1.0);
  std::size_t rooms = 0;
  for (std::size_t v = 0; v < base.variables.size(); ++v) {
    if (!model_->anything_known(static_cast<int>(v), answers)) continue;
    out.known_at[v] = static_cast<int>(out.known.size());
    out.known.emplace_back().variable = static_cast<int>(v);
    rooms += base.variables[v].slots > 1 ? width + causes_ : 0;
  }
  out.rooms.resize(rooms);
  out.spoken_at.assign(causes_ + 1, 0);
  double* room = out.rooms.data();
  for (Known& known : out.known) {
    const std::size_t v = static_cast<std::size_t>(known.variable);
    const Plain& plain = plain_[v];
    known = read_known(known.variable, answers, room);
    if (base.variables[v].slots == 1) {
      known.over = plain.over[static_cast<std::size_t>(known.answer)].data();
    } else {
      double* const over = room + width;
      for (std::size_t c = 0; c < causes_; ++c) over[c] = 1.0 / beside_silence(known, c);
      known.over = over;
      room = over + causes_;
    }
    times(out.silent.data(), known.over, 0, causes_);
    for (const int cause : plain.speaks) ++out.spoken_at[static_cast<std::size_t>(cause) + 1];
  }
  for (std::size_t c = 0; c < causes_; ++c) {
    out.silent[c] = 1.0 / out.silent[c];
    out.spoken_at[c + 1] += out.spoken_at[c];
  }
  out.spoken.resize(out.spoken_at.back());
  std::vector<std::size_t> next = out.spoken_at;
  for (std::size_t k = 0; k < out.known.size(); ++k)
    for (const int cause : plain_[static_cast<std::size_t>(out.known[k].variable)].speaks)
      out.spoken[next[static_cast<std::size_t>(cause)]++] = static_cast<std::uint32_t>(k);
  make_groups_ready(answers, out);
  return out;
}

// Beside a cause that says what it says of the group's variables alone: the mean of both, over what
// the rows counted for the cause.
void PairModel::make_groups_ready(const Answers& answers, Ready& ready) const {
  const std::vector<AnswerModel::GroupRef>& groups = model_->joint_groups();
  ready.joint_values.assign(groups.size(), 1.0);
  ready.beside.resize(groups.size() * causes_);
  for (std::size_t j = 0; j < groups.size(); ++j) {
    const GroupTable& table = model_->table(groups[j]);
    const bool of_cause = static_cast<std::size_t>(groups[j].cause) < causes_;
    if (!of_cause || !model_->anything_known(table, answers)) continue;
    ready.touched.push_back(static_cast<int>(j));
    ready.joint_values[j] = model_->value(table, answers);
    double* const beside = ready.beside.data() + j * causes_;
    std::fill(beside, beside + causes_, 1.0);
    for (const int variable : table.variables)
      if (const int at = ready.known_at[static_cast<std::size_t>(variable)]; at >= 0)
        times(beside, ready.known[static_cast<std::size_t>(at)].row, 0, causes_);
    for (std::size_t c = 0; c < causes_; ++c) beside[c] = 0.5 * (beside[c] + ready.joint_values[j]);
    for (const int variable : table.variables)
      if (const int at = ready.known_at[static_cast<std::size_t>(variable)]; at >= 0)
        times(beside, ready.known[static_cast<std::size_t>(at)].over, 0, causes_);
  }
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

// What a joint component is worth, over what the rows counted for its variables; 1 when nothing of
// it is known. Of a variable in it at least one member speaks together with others, and has no row
// of its own: what was counted is the other beside one that says nothing.
double PairModel::joint_ratio(const Joint& joint, const Ready& ready,
                              const Answers& answers) const {
  double over = 1.0;
  bool any_known = false;
  for (std::uint32_t v = joint.variables.begin; v < joint.variables.end; ++v) {
    const int at = ready.known_at[static_cast<std::size_t>(joint_variables_[v])];
    if (at < 0) continue;
    any_known = true;
    const double* const by = ready.known[static_cast<std::size_t>(at)].over;
    over *= by[static_cast<std::size_t>(joint.first.cause)] *
            by[static_cast<std::size_t>(joint.second.cause)];
  }
  if (!any_known) return 1.0;
  return (side_value(joint.first, ready, answers) + side_value(joint.second, ready, answers)) /
         (joint.first.mass + joint.second.mass) * over;
}

const PairModel::Special* PairModel::special(std::size_t pair) const {
  const auto found = std::lower_bound(
      special_.begin(), special_.end(), pair,
      [](const Special& special, std::size_t wanted) { return special.pair < wanted; });
  return found != special_.end() && found->pair == pair ? &*found : nullptr;
}

// All groups of more than one variable of both members.
double PairModel::special_part(const Special& special, const Ready& ready,
                               const Answers& answers) const {
  const Pair& pair = pairs_[special.pair];
  double part = 1.0;
  for (std::uint32_t i = special.apart.begin; i < special.apart.end; ++i) {
    const std::size_t group = static_cast<std::size_t>(apart_[i]);
    if (!std::binary_search(ready.touched.begin(), ready.touched.end(), apart_[i])) continue;
    const int own = model_->joint_groups()[group].cause;
    part *= ready.beside[group * causes_ +
                         static_cast<std::size_t>(own == pair.first ? pair.second : pair.first)];
  }
  for (std::uint32_t j = special.joints.begin; j < special.joints.end; ++j)
    part *= joint_ratio(joints_[j], ready, answers);
  return part;
}

// The same of any pair.
double PairModel::joint_part(std::size_t pair, const Ready& ready, const Answers& answers) const {
  if (const Special* of = special(pair)) return special_part(*of, ready, answers);
  double part = 1.0;
  for (const int group : ready.touched) {
    const int own = model_->joint_groups()[static_cast<std::size_t>(group)].cause;
    const bool first = own == pairs_[pair].first;
    if (!first && own != pairs_[pair].second) continue;
    part *=
        ready.beside[static_cast<std::size_t>(group) * causes_ +
                     static_cast<std::size_t>(first ? pairs_[pair].second : pairs_[pair].first)];
  }
  return part;
}

// Natural logarithm, of a pair whose factor a double does not hold.
double PairModel::log_of(std::size_t pair, const Ready& ready, const Answers& answers) const {
  double log = std::log(joint_part(pair, ready, answers));
  for (const Known& known : ready.known)
    log += std::log(plain_value(known, static_cast<std::size_t>(pairs_[pair].first),
                                static_cast<std::size_t>(pairs_[pair].second)));
  return log;
}

PairFactors PairModel::factors(const Answers& answers,
                               const std::vector<double>& log_single) const {
  const Ready ready = make_ready(answers);
  // Groups of which something is known, with what they are worth beside each cause.
  struct Touched {
    std::size_t cause;
    const double* beside;
  };
  std::vector<Touched> touched;
  for (const int group : ready.touched) {
    const std::size_t g = static_cast<std::size_t>(group);
    touched.push_back({static_cast<std::size_t>(model_->joint_groups()[g].cause),
                       ready.beside.data() + g * causes_});
  }
  std::vector<char> can_be;
  for (std::size_t c = 0; c < causes_; ++c) can_be.push_back(log_single[c] != kNever);
  PairFactors out(pairs_.size());
  std::vector<double> product, rows;
  std::size_t group = 0, special = 0;  // the first that are not of an earlier cause
  for (std::size_t c = 0; c < causes_; ++c) {
    const std::size_t own = group, own_special = special;
    while (group < touched.size() && touched[group].cause == c) ++group;
    while (special < special_.size() && special_[special].pair < row_at_[c + 1]) ++special;
    if (!can_be[c]) continue;
    // What every other cause is worth beside one that says nothing; then what c does say.
    product = ready.silent;
    for (std::size_t k = ready.spoken_at[c]; k < ready.spoken_at[c + 1]; ++k)
      times_known(ready.known[ready.spoken[k]], c, product.data());
    rows = product;
    for (std::size_t g = own; g < group; ++g)
      times(product.data(), touched[g].beside, c + 1, causes_);
    for (std::size_t g = group; g < touched.size(); ++g)
      product[touched[g].cause] *= touched[g].beside[c];
    for (std::size_t s = own_special; s < special; ++s) {
      const std::size_t d = static_cast<std::size_t>(pairs_[special_[s].pair].second);
      product[d] = rows[d] * special_part(special_[s], ready, answers);
    }
    bool all_held = true;
    for (std::size_t pair = row_at_[c]; pair < row_at_[c + 1]; ++pair) {
      const std::size_t d = static_cast<std::size_t>(pairs_[pair].second);
      const bool held = PairFactors::held(product[d]), possible = can_be[d] != 0;
      out.set(pair, (held & possible) ? product[d] : 0.0);
      all_held &= held | !possible;
    }
    for (std::size_t pair = row_at_[c]; !all_held && pair < row_at_[c + 1]; ++pair) {
      const std::size_t d = static_cast<std::size_t>(pairs_[pair].second);
      if (can_be[d] && !PairFactors::held(product[d]))
        out.set_log(pair, log_of(pair, ready, answers));
    }
  }
  return out;
}

}  // namespace perrev
