#include "engine/reasoning/rows.h"

#include <cstdint>

namespace perrev {

namespace {

// The loops are compiled for each kind of vector unit where the compiler can; the results are the
// same to the bit. Sanitizers cannot start such functions.
#if defined(__x86_64__) && defined(__ELF__) && !defined(__SANITIZE_ADDRESS__) && \
    !defined(PERREV_PLAIN_LOOPS)
#define PERREV_WIDE __attribute__((target_clones("avx512f", "avx2", "default")))
#else
#define PERREV_WIDE
#endif

// Half a step, the most that one instruction takes.
constexpr std::size_t kLanes = kRowStep / 2;

// A row from where the loops begin, told to the compiler as what it is.
inline double* aligned(double* row, std::size_t from) {
  return static_cast<double*>(__builtin_assume_aligned(row + from, kLanes * sizeof(double)));
}
inline const double* aligned(const double* row, std::size_t from) {
  return static_cast<const double*>(__builtin_assume_aligned(row + from, kLanes * sizeof(double)));
}

// So many numbers side by side.
using Lanes = double __attribute__((vector_size(kLanes * sizeof(double)), may_alias));

inline Lanes& lanes(double* row, std::size_t at) { return *reinterpret_cast<Lanes*>(row + at); }
inline const Lanes& lanes(const double* row, std::size_t at) {
  return *reinterpret_cast<const Lanes*>(row + at);
}

inline void times_term(Lanes& product, const PairTerms::Mean& term, std::size_t at) {
  product *= (term.own + lanes(term.of->row, at)) * lanes(term.of->over, at);
}
inline void times_term(Lanes& product, const PairTerms::Needs& term, std::size_t at) {
  product *= (term.own + lanes(term.of->row, at)) * lanes(term.inverse_mass, at) *
             lanes(term.of->over, at);
}
inline void times_term(Lanes& product, const PairTerms::Any& term, std::size_t at) {
  const Lanes& inverse = lanes(term.of->inverse, at);
  const Lanes least = inverse < term.own ? inverse : Lanes{} + term.own;
  product *=
      (term.of->fixed + lanes(term.of->no, at) * (term.scale * least)) * lanes(term.of->over, at);
}
inline void times_term(Lanes& product, const PairTerms::Placed& term, std::size_t at) {
  const Lanes& inverse = lanes(term.of->inverse, at);
  const Lanes least = inverse < term.own ? inverse : Lanes{} + term.own;
  product *= (term.fixed + lanes(term.of->no, at) * (term.slope + term.scale * least)) *
             lanes(term.of->over, at);
}

// So that the compiler sees that no part of a step is left over.
constexpr std::size_t steps_of(std::size_t from, std::size_t to) {
  return (to - from) / kRowStep * kRowStep;
}

// How many that are possible (not 0) are not held.
inline std::int64_t lost_of(const double* row, const double* possible, std::size_t count) {
  std::int64_t lost = 0;
  for (std::size_t i = 0; i < count; ++i) lost += (possible[i] != 0.0) & !held(row[i]);
  return lost;
}

}  // namespace

PERREV_WIDE void times(double* product, const double* by, std::size_t from, std::size_t to) {
  double* __restrict const p = aligned(product, from);
  const double* __restrict const b = aligned(by, from);
  const std::size_t count = steps_of(from, to);
  for (std::size_t i = 0; i < count; ++i) p[i] *= b[i];
}

PERREV_WIDE void product_of(double* out, const std::vector<const double*>& rows, std::size_t to) {
  for (std::size_t at = 0; at < to; at += kRowStep) {
    Lanes one = Lanes{} + 1.0, other = one;
    for (const double* const row : rows) {
      one *= lanes(row, at);
      other *= lanes(row, at + kLanes);
    }
    lanes(out, at) = one;
    lanes(out, at + kLanes) = other;
  }
}

PERREV_WIDE void mean_of(double* out, double value, const std::vector<RowOver>& rows,
                         std::size_t to) {
  for (std::size_t at = 0; at < to; at += kLanes) {
    Lanes product = Lanes{} + 1.0, over = product;
    for (const RowOver& of : rows) {
      product *= lanes(of.row, at);
      over *= lanes(of.over, at);
    }
    lanes(out, at) = 0.5 * (value + product) * over;
  }
}

PERREV_WIDE void add(double* sum, const double* by, std::size_t from, std::size_t to) {
  double* __restrict const s = aligned(sum, from);
  const double* __restrict const b = aligned(by, from);
  const std::size_t count = steps_of(from, to);
  for (std::size_t i = 0; i < count; ++i) s[i] += b[i];
}

PERREV_WIDE void add_and_divide(double* sum, double by, double over, std::size_t from,
                                std::size_t to) {
  double* __restrict const s = aligned(sum, from);
  const std::size_t count = steps_of(from, to);
  for (std::size_t i = 0; i < count; ++i) s[i] = (s[i] + by) / over;
}

PERREV_WIDE void times_terms(const std::vector<double*>& rows, const double* product,
                             const PairTerms& terms, std::size_t to) {
  // Step by step over all causes: what a step reads of the rows stays near.
  for (std::size_t at = 0; at < to; at += kRowStep) {
    const std::size_t then = at + kLanes;
    PairTerms::End begin;
    for (std::size_t c = 0; c < rows.size() && (c + 1) / kRowStep * kRowStep <= at; ++c) {
      const PairTerms::End end = terms.ends[c];
      Lanes one = lanes(product, at) * end.halves, other = lanes(product, then) * end.halves;
      for (; begin.mean < end.mean; ++begin.mean) {
        times_term(one, terms.mean[begin.mean], at);
        times_term(other, terms.mean[begin.mean], then);
      }
      for (; begin.needs < end.needs; ++begin.needs) {
        times_term(one, terms.needs[begin.needs], at);
        times_term(other, terms.needs[begin.needs], then);
      }
      for (; begin.any < end.any; ++begin.any) {
        times_term(one, terms.any[begin.any], at);
        times_term(other, terms.any[begin.any], then);
      }
      for (; begin.placed < end.placed; ++begin.placed) {
        times_term(one, terms.placed[begin.placed], at);
        times_term(other, terms.placed[begin.placed], then);
      }
      if (!rows[c]) continue;
      lanes(rows[c], at) = one;
      lanes(rows[c], then) = other;
    }
  }
}

PERREV_WIDE void scaled_product(double* out, double scale, const double* a, const double* b,
                                std::size_t from, std::size_t to) {
  double* __restrict const o = aligned(out, from);
  const double* const one = aligned(a, from);
  const double* const other = aligned(b, from);
  const std::size_t count = steps_of(from, to);
  for (std::size_t i = 0; i < count; ++i) o[i] = scale * one[i] * other[i];
}

PERREV_WIDE std::size_t clear_impossible(double* row, const double* possible, std::size_t from,
                                         std::size_t to) {
  double* __restrict const r = aligned(row, from);
  const double* __restrict const can = aligned(possible, from);
  const std::size_t count = steps_of(from, to);
  const std::int64_t lost = lost_of(r, can, count);
  for (std::size_t i = 0; i < count; ++i) r[i] = can[i] != 0.0 ? r[i] : 0.0;
  return static_cast<std::size_t>(lost);
}

PERREV_WIDE bool times_if_held(double* product, const double* by, std::size_t from,
                               std::size_t to) {
  double* __restrict const p = aligned(product, from);
  const double* __restrict const b = aligned(by, from);
  const std::size_t count = steps_of(from, to);
  std::int64_t lost = 0;
  for (std::size_t i = 0; i < count; ++i) lost += (p[i] != 0.0) & !held(p[i] * b[i]);
  if (lost > 0) return false;
  for (std::size_t i = 0; i < count; ++i) p[i] = p[i] == 0.0 ? 0.0 : p[i] * b[i];
  return true;
}

PERREV_WIDE bool all_held(const double* row, const double* possible, std::size_t from,
                          std::size_t to) {
  return lost_of(aligned(row, from), aligned(possible, from), steps_of(from, to)) == 0;
}

PERREV_WIDE bool any_at_least(const double* row, double least, std::size_t from, std::size_t to) {
  const double* const r = aligned(row, from);
  const std::size_t count = steps_of(from, to);
  std::int64_t found = 0;
  for (std::size_t i = 0; i < count; ++i) found += r[i] >= least;
  return found > 0;
}

PERREV_WIDE void mean_over(double* out, const PairMean& of, std::size_t from, std::size_t to) {
  double* __restrict const o = aligned(out, from);
  const double* const says = aligned(of.says, from);
  const double* const over = aligned(of.over, from);
  const double* const models = aligned(of.models, from);
  const double own_says = of.own_says, own_over = 0.5 * of.own_over, own_models = of.own_models;
  const std::size_t count = steps_of(from, to);
  for (std::size_t i = 0; i < count; ++i) {
    const double mean = (own_says + says[i]) * (own_over * over[i]);
    o[i] = own_models + models[i] != 0.0 ? mean : 1.0;
  }
}

PERREV_WIDE double add_and_sum(double* total, const double* by, std::size_t from, std::size_t to) {
  double* __restrict const t = aligned(total, from);
  const double* __restrict const b = aligned(by, from);
  const std::size_t count = steps_of(from, to);
  for (std::size_t i = 0; i < count; ++i) t[i] += b[i];
  Lanes sums = {};
  for (std::size_t i = 0; i < count; i += kLanes) sums += lanes(b, i);
  return ((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7]));
}

}  // namespace perrev
