// The loops over rows against the same written out, one number at a time.
#include "engine/reasoning/rows.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "engine/reasoning/pair_factors.h"
#include "tests/engine/reasoning/lcg.h"

namespace perrev::testing {
namespace {

CauseRow random_row(Lcg& random, std::size_t length) {
  CauseRow out(length);
  for (double& x : out) x = random.real(0.2, 3.0);
  return out;
}

Pair pair_of(std::size_t first, std::size_t second) {
  return {static_cast<int>(first), static_cast<int>(second)};
}

TEST_CASE("terms of pairs are what their formulas say, for each cause its own") {
  Lcg random(1);
  for (const std::size_t causes : {1u, 7u, 15u, 16u, 17u, 40u, 109u}) {
    CAPTURE(causes);
    const std::size_t length = whole_steps(causes);
    const CauseRow start = random_row(random, length);
    std::vector<CauseRow> rows;
    for (int i = 0; i < 30; ++i) rows.push_back(random_row(random, length));
    const auto some = [&]() -> const double* { return random.pick(rows).data(); };
    std::vector<PairTerms::Variable> variables;
    for (int i = 0; i < 10; ++i)
      variables.push_back({some(), some(), some(), some(), random.real()});
    PairTerms terms;
    std::vector<std::vector<double>> expected;
    for (std::size_t c = 0; c < causes; ++c) {
      expected.emplace_back(start.begin(), start.end());
      std::vector<double>& out = expected.back();
      const double halves = random.real(0.1, 1.0);
      for (double& x : out) x *= halves;
      for (int i = random.below(4); i > 0; --i) {
        const PairTerms::Variable& of = random.pick(variables);
        const double own = random.real();
        terms.mean.push_back({&of, own});
        for (std::size_t d = 0; d < length; ++d) out[d] *= (own + of.row[d]) * of.over[d];
      }
      for (int i = random.below(3); i > 0; --i) {
        const PairTerms::Variable& of = random.pick(variables);
        const double own = random.real();
        const double* const mass = some();
        terms.needs.push_back({&of, mass, own});
        for (std::size_t d = 0; d < length; ++d) out[d] *= (own + of.row[d]) * mass[d] * of.over[d];
      }
      for (int i = random.below(4); i > 0; --i) {
        const PairTerms::Variable& of = random.pick(variables);
        const double own = random.real(0.2, 3.0), scale = random.real();
        terms.any.push_back({&of, own, scale});
        for (std::size_t d = 0; d < length; ++d)
          out[d] *= (of.fixed + of.no[d] * scale * std::min(of.inverse[d], own)) * of.over[d];
      }
      for (int i = random.below(3); i > 0; --i) {
        const PairTerms::Variable& of = random.pick(variables);
        const double own = random.real(0.2, 3.0), fixed = random.real(), slope = random.real(),
                     scale = random.real();
        terms.placed.push_back({&of, own, fixed, slope, scale});
        for (std::size_t d = 0; d < length; ++d)
          out[d] *=
              (fixed + of.no[d] * (slope + scale * std::min(of.inverse[d], own))) * of.over[d];
      }
      terms.ends.push_back(
          {terms.mean.size(), terms.needs.size(), terms.any.size(), terms.placed.size(), halves});
    }
    PairRows out(causes);
    std::vector<double*> wanted(causes, nullptr);
    for (std::size_t c = 0; c < causes; ++c)
      if (random.chance(0.8)) wanted[c] = out.row(c);
    times_terms(wanted, start.data(), terms, length);
    for (std::size_t c = 0; c < causes; ++c)
      for (std::size_t d = c + 1; d < causes; ++d)
        REQUIRE(out.at(pair_of(c, d)) ==
                doctest::Approx(wanted[c] ? expected[c][d] : 0.0).epsilon(1e-14));
  }
}

TEST_CASE("every pair has a number of its own, and a row counts no other") {
  for (std::size_t causes = 0; causes < 70; ++causes) {
    CAPTURE(causes);
    PairRows rows(causes);
    double next = 1.0;
    for (std::size_t a = 0; a < causes; ++a)
      for (std::size_t b = a + 1; b < causes; ++b) rows.at(pair_of(a, b)) = next++;
    next = 1.0;
    for (std::size_t a = 0; a < causes; ++a) {
      double sum = 0.0;
      for (std::size_t b = a + 1; b < causes; ++b) {
        REQUIRE(rows.at(pair_of(a, b)) == next);
        sum += next++;
      }
      CauseRow total(rows.length(), 0.0);
      REQUIRE(add_and_sum(total.data(), rows.row(a), PairRows::from(a), rows.length()) == sum);
      REQUIRE(any_at_least(rows.row(a), 1.0, PairRows::from(a), rows.length()) == (sum > 0.0));
      for (std::size_t b = 0; b < rows.length(); ++b)
        REQUIRE(total[b] == (b > a && b < causes ? rows.at(pair_of(a, b)) : 0.0));
    }
  }
}

void require_log(const PairFactors& factors, const Pair& pair, double log) {
  if (std::isinf(log))
    REQUIRE(factors.log_of(pair) == log);
  else
    REQUIRE(factors.log_of(pair) == doctest::Approx(log).epsilon(1e-12));
}

TEST_CASE("factors are right beyond what a double holds, and 0 stays 0") {
  constexpr std::size_t kCauses = 21;
  Lcg random(2);
  PairFactors factors(kCauses), under(kCauses);
  std::map<Pair, double> logs, under_logs;
  for (std::size_t a = 0; a < kCauses; ++a)
    for (std::size_t b = a + 1; b < kCauses; ++b) {
      const bool never = random.chance(0.2);
      const double log = random.real(-600.0, 600.0), under_log = random.real(-900.0, 900.0);
      factors.row(a)[b] = never ? 0.0 : std::exp(log);
      under.set_log(pair_of(a, b), under_log);
      logs[pair_of(a, b)] = never ? -std::numeric_limits<double>::infinity() : log;
      under_logs[pair_of(a, b)] = under_log;
    }
  int far = 0;
  for (int round = 0; round < 40; ++round)
    for (std::size_t a = 0; a < kCauses; ++a) {
      CauseRow by(whole_steps(kCauses), 1.0);
      for (double& x : by) x = std::exp(random.real(-300.0, 300.0));
      factors.times_row(a, by.data());
      for (std::size_t b = a + 1; b < kCauses; ++b) {
        double& log = logs[pair_of(a, b)];
        log += std::log(by[b]);
        far += std::abs(log) > 690.0 && !std::isinf(log);
        require_log(factors, pair_of(a, b), log);
      }
    }
  CHECK(far > 1000);
  for (std::size_t a = 0; a < kCauses; ++a) {
    factors.over_row(a, under);
    for (std::size_t b = a + 1; b < kCauses; ++b)
      require_log(factors, pair_of(a, b), logs[pair_of(a, b)] - under_logs[pair_of(a, b)]);
  }
}

}  // namespace
}  // namespace perrev::testing
