#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <utility>

#include "engine/reasoning/pairs.h"

namespace perrev {

namespace {

constexpr double kNever = -std::numeric_limits<double>::infinity();

}  // namespace

const double* PairModel::over_silence(const KnownVariable& known, double* room) const {
  const Plain& plain = plain_[static_cast<std::size_t>(known.variable)];
  if (!plain.over.empty()) return plain.over[static_cast<std::size_t>(known.answer)].data();
  std::fill(room, room + model_->length(), 1.0);
  for (const int cause : plain.speaks) {
    const std::size_t c = static_cast<std::size_t>(cause);
    room[c] = 1.0 / beside_silence(known, c);
  }
  return room;
}

// As in plain_value, with everything that hangs on the first cause taken out of the row.
void PairModel::add_term(const KnownTerm& of, std::size_t cause, PairTerms& terms) const {
  const KnownVariable& known = *of.known;
  if (of.kind == KnownTerm::Kind::mean) {
    terms.mean.push_back({&of.rows, known.row[cause]});
    return;
  }
  const Plain& plain = *of.plain;
  if (of.kind == KnownTerm::Kind::needs) {
    terms.needs.push_back({&of.rows, plain.inverse_mass[cause].data(), known.row[cause]});
  } else if (of.kind == KnownTerm::Kind::any) {
    terms.any.push_back({&of.rows, plain.inverse[cause], plain.no[cause] * (of.no - of.yes)});
  } else if (of.kind == KnownTerm::Kind::placed) {
    // The mean over the places of the second cause is linear in its P(no).
    const double places = known.no + known.yes + known.open, over_all = 1.0 / (places * places);
    const double own = places * known.row[cause];
    const double says_no = of.no * model_->row(known.variable, 0)[cause];
    const double says_yes = of.yes * model_->row(known.variable, 1)[cause];
    terms.placed.push_back({&of.rows, plain.inverse[cause],
                            (own * (known.open + of.yes) - says_yes + of.yes) * over_all,
                            (own * (of.no - of.yes) - says_no + says_yes) * over_all,
                            plain.no[cause] * (of.no - of.yes) * over_all});
  }
}

void PairModel::add_terms(const Ready& ready, std::size_t cause, PairTerms& terms) const {
  const std::size_t means = terms.mean.size();
  for (std::size_t word = 0; word < ready.known.size(); ++word)
    for (std::uint64_t spoken = ready.known[word] & speaks_[cause][word]; spoken != 0;
         spoken &= spoken - 1) {
      const std::size_t variable = 64 * word + static_cast<std::size_t>(std::countr_zero(spoken));
      add_term(ready.terms[static_cast<std::size_t>(ready.told.known_at[variable])], cause, terms);
    }
  terms.ends.push_back({terms.mean.size(), terms.needs.size(), terms.any.size(),
                        terms.placed.size(),
                        std::ldexp(1.0, -static_cast<int>(terms.mean.size() - means))});
}

// What each cause is worth in a pair with every cause after it, over what those causes were counted
// for alone, times what they are beside silence; by the variables that rows speak of.
void PairModel::weigh_rows(const Ready& ready, const CauseRow& possible, PairFactors& out) const {
  PairTerms terms;
  terms.mean.reserve(ready.terms.size() * causes_ / 4);
  terms.any.reserve(ready.terms.size() * causes_ / 4);
  terms.ends.reserve(causes_);
  std::vector<double*> rows(causes_, nullptr);
  for (std::size_t c = 0; c < causes_; ++c) {
    if (possible[c] == 0.0) {
      terms.ends.push_back(terms.ends.empty() ? PairTerms::End{} : terms.ends.back());
      continue;
    }
    rows[c] = out.row(c);
    add_terms(ready, c, terms);
  }
  times_terms(rows, ready.silent.data(), terms, out.rows().length());
  for (const KnownTerm& of : ready.terms) {
    if (of.kind != KnownTerm::Kind::apart) continue;
    for (const int cause : of.plain->speaks) {
      const std::size_t c = static_cast<std::size_t>(cause);
      for (std::size_t d = c + 1; rows[c] && d < causes_; ++d)
        rows[c][d] *= plain_value(*of.known, c, d) * of.rows.over[d];
    }
  }
}

// `over` is left out.
PairModel::KnownTerm PairModel::known_term(const KnownVariable& known) const {
  using Kind = KnownTerm::Kind;
  const std::size_t v = static_cast<std::size_t>(known.variable);
  const std::vector<double>& base = model_->base().variables[v].base;
  KnownTerm out;
  out.known = &known;
  out.plain = &plain_[v];
  out.rows.row = known.row;
  if (!out.plain->any) {
    out.kind = out.plain->needs ? Kind::needs : Kind::mean;
    return out;
  }
  out.kind = out.plain->needs ? Kind::apart : out.plain->placed ? Kind::placed : Kind::any;
  out.no = known.no / base[0];
  out.yes = known.yes / base[1];
  out.rows.no = out.plain->no.data();
  out.rows.inverse = out.plain->inverse.data();
  out.rows.fixed = out.yes;
  return out;
}

PairModel::Ready PairModel::make_ready(const KnownAnswers& told) const {
  const std::size_t length = model_->length();
  Ready out(told);
  out.known.assign(words_of_bits(plain_.size()), 0);
  out.terms.reserve(told.known.size());
  const auto in_rooms =
      std::count_if(told.known.begin(), told.known.end(), [&](const KnownVariable& of) {
        return plain_[static_cast<std::size_t>(of.variable)].over.empty();
      });
  out.rooms.resize(static_cast<std::size_t>(in_rooms) * length);
  double* room = out.rooms.data();
  std::vector<const double*> overs;
  overs.reserve(told.known.size());
  for (const KnownVariable& known : told.known) {
    set_bit(out.known, static_cast<std::size_t>(known.variable));
    out.terms.push_back(known_term(known));
    overs.push_back(over_silence(known, room));
    out.terms.back().rows.over = overs.back();
    if (overs.back() == room) room += length;
  }
  out.silent.resize(length);
  product_of(out.silent.data(), overs, length);
  for (double& silent : out.silent) silent = 1.0 / silent;
  make_groups_ready(out);
  return out;
}

// Beside a cause that says what it says of the group's variables alone: the mean of both, over what
// the rows counted for the cause.
void PairModel::make_groups_ready(Ready& ready) const {
  const KnownAnswers& told = ready.told;
  ready.beside_at.assign(model_->joint_groups().size(), -1);
  ready.beside.resize(told.touched.size() * model_->length());
  ready.group_causes.reserve(told.touched.size());
  std::vector<RowOver> rows;
  for (std::size_t t = 0; t < told.touched.size(); ++t) {
    const std::size_t j = static_cast<std::size_t>(told.touched[t]);
    const AnswerModel::GroupRef& group = model_->joint_groups()[j];
    ready.beside_at[j] = static_cast<int>(t);
    ready.group_causes.push_back(static_cast<std::size_t>(group.cause));
    rows.clear();
    for (const int variable : model_->table(group).variables)
      if (const int at = told.known_at[static_cast<std::size_t>(variable)]; at >= 0)
        rows.push_back({told.known[static_cast<std::size_t>(at)].row,
                        ready.terms[static_cast<std::size_t>(at)].rows.over});
    mean_of(ready.beside.data() + t * model_->length(), told.joint_values[j], rows,
            model_->length());
  }
}

// Natural logarithm, of a pair whose factor a double does not hold.
double PairModel::log_of(const Pair& pair, const Ready& ready) const {
  double log = std::log(joint_part(pair, ready));
  for (const KnownVariable& known : ready.told.known)
    log += std::log(plain_value(known, static_cast<std::size_t>(pair.first),
                                static_cast<std::size_t>(pair.second)));
  return log;
}

PairFactors PairModel::factors(const KnownAnswers& told,
                               const std::vector<double>& log_single) const {
  const Ready ready = make_ready(told);
  // Of causes after the one at hand: whether they can be.
  CauseRow possible(model_->length(), 0.0);
  for (std::size_t c = 0; c < causes_; ++c) possible[c] = log_single[c] == kNever ? 0.0 : 1.0;
  PairFactors out(causes_);
  weigh_rows(ready, possible, out);
  std::vector<std::pair<std::size_t, double>> special_values;
  std::size_t touched = 0;  // the first group that is not of an earlier cause
  auto special = special_.begin();
  for (std::size_t c = 0; c < causes_; ++c) {
    const int cause = static_cast<int>(c);
    const std::size_t own = touched, from = PairRows::from(c), to = out.rows().length();
    const bool can_be = std::exchange(possible[c], 0.0) != 0.0;
    double* const row = out.row(c);
    special_values.clear();
    for (; special != special_.end() && special->pair.first == cause; ++special) {
      const std::size_t d = static_cast<std::size_t>(special->pair.second);
      if (!can_be || possible[d] == 0.0) continue;
      if (const auto part = special_part(*special, ready))
        special_values.emplace_back(d, row[d] * *part);
    }
    while (touched < ready.group_causes.size() && ready.group_causes[touched] == c) ++touched;
    if (!can_be) continue;
    const double* const beside = ready.beside.data();
    for (std::size_t t = own; t < touched; ++t) times(row, beside + t * model_->length(), from, to);
    for (std::size_t t = touched; t < ready.group_causes.size() && ready.group_causes[t] < causes_;
         ++t)
      row[ready.group_causes[t]] *= beside[t * model_->length() + c];
    for (const auto& [d, value] : special_values) row[d] = value;
    if (clear_impossible(row, possible.data(), from, to) > 0)
      for (std::size_t d = c + 1; d < causes_; ++d)
        if (possible[d] != 0.0 && !held(row[d]))
          out.set_log({cause, static_cast<int>(d)}, log_of({cause, static_cast<int>(d)}, ready));
    for (const int other : never_[c]) row[other] = 0.0;
  }
  return out;
}

}  // namespace perrev
