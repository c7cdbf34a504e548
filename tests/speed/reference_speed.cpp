// The same cases through the ranking, through a dense matrix, and from JSON to JSON; reference.py
// puts a general-purpose rule engine beside it. One iteration is one case.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numeric>

#include "engine/reasoning/ranking.h"
#include "src/batch_line.h"
#include "tests/speed/dense_ranking.h"
#include "tests/speed/made_up_cases.h"
#include "tests/speed/shipped.h"

namespace perrev {
namespace {

constexpr int kCases = 200;

const std::vector<std::string>& texts() {
  static const std::vector<std::string> made = made_up_cases(reasoner(), kCases);
  return made;
}

const std::vector<CaseFacts>& cases() {
  static const std::vector<CaseFacts> made = [] {
    std::vector<CaseFacts> out;
    for (const std::string& text : texts()) out.push_back(facts_or_die(case_or_die("case", text)));
    return out;
  }();
  return made;
}

const Reasoner& rules_alone() {
  static const Reasoner made(shipped());
  return made;
}

template <class Work>
void each_case(benchmark::State& state, const Work& work) {
  std::size_t next = 0;
  for (auto _ : state) {
    work(next);
    next = (next + 1) % kCases;
  }
  state.SetItemsProcessed(state.iterations());
}

void rank_case(benchmark::State& state) {
  const std::vector<CaseFacts>& of = cases();
  const Reasoner& by = reasoner();
  each_case(state, [&](std::size_t i) { benchmark::DoNotOptimize(rank(by, of[i], kNoPairNamed)); });
}
BENCHMARK(rank_case)->Unit(benchmark::kMicrosecond);

// Without what is computed from arithmetic: what the matrix and the rule engine leave out too.
void rank_case_rules_alone(benchmark::State& state) {
  const std::vector<CaseFacts>& of = cases();
  const Reasoner& by = rules_alone();
  each_case(state, [&](std::size_t i) { benchmark::DoNotOptimize(rank(by, of[i], kNoPairNamed)); });
}
BENCHMARK(rank_case_rules_alone)->Unit(benchmark::kMicrosecond);

// Single causes only, weighed and put in order: as much as the rule engine does.
void single_causes(benchmark::State& state) {
  const std::vector<CaseFacts>& of = cases();
  const Reasoner& by = rules_alone();
  std::vector<int> order(shipped().causes.size());
  each_case(state, [&](std::size_t i) {
    const std::vector<double> odds = log_odds(by, of[i]);
    std::iota(order.begin(), order.end(), 0);
    std::sort(order.begin(), order.end(), [&](int a, int b) {
      const double of_a = odds[static_cast<std::size_t>(a)],
                   of_b = odds[static_cast<std::size_t>(b)];
      return of_a != of_b ? of_a > of_b : a < b;
    });
    benchmark::DoNotOptimize(order.data());
  });
}
BENCHMARK(single_causes)->Unit(benchmark::kMicrosecond);

// How far the matrix is off, where only what it can say exactly is known; else over everything.
double largest_difference(const DenseRanking& dense, bool plain) {
  double out = 0.0;
  for (CaseFacts facts : cases()) {
    Answers& known = facts.rounds.back().answers;
    if (plain) known = dense.plain_part(known);
    const Ranking ours = rank(rules_alone(), facts);
    const DenseRanking::Ranks theirs = dense.rank(known);
    out = std::max(out, std::abs(ours.not_listed - theirs.not_listed));
    for (const Ranked& ranked : ours.causes)
      out = std::max(out, std::abs(ranked.probability - theirs.causes[ranked.cause]));
  }
  return out;
}

void dense_case(benchmark::State& state) {
  static const DenseRanking dense(rules_alone());
  static const double off = largest_difference(dense, true),
                      over_all = largest_difference(dense, false);
  if (off > 1e-9) return state.SkipWithError("the matrix does not say what rank() says");
  const std::vector<CaseFacts>& of = cases();
  each_case(state,
            [&](std::size_t i) { benchmark::DoNotOptimize(dense.rank(of[i].now().answers)); });
  state.counters["off_plain"] = off;
  state.counters["off_all"] = over_all;
  state.counters["MB"] = dense.megabytes();
}
BENCHMARK(dense_case)->Unit(benchmark::kMicrosecond);

// A line of `perrev diagnose --batch`: JSON of a case to JSON of its ranking over all pairs, with
// the reasons of the three likeliest causes.
void json_to_json(benchmark::State& state) {
  std::vector<std::string> lines;
  for (const std::string& text : texts())
    lines.push_back(nlohmann::ordered_json::parse(text).dump());
  BatchCaseReader reader;
  each_case(state, [&](std::size_t i) {
    benchmark::DoNotOptimize(answer_line(reasoner(), i + 1, lines[i], {}, reader));
  });
}
BENCHMARK(json_to_json)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace perrev
