// How long loading, ranking and choosing the next check take. Ratios within one run are what
// counts; absolute times belong to the machine.
//
//     bash tests/run.sh -DPERREV_SPEED=ON && build/tests/speed/perrev_speed
#include <benchmark/benchmark.h>

#include <string>

#include "engine/casefile/facts_of.h"
#include "engine/planning/complaint.h"
#include "engine/planning/plan.h"
#include "engine/planning/strategies.h"
#include "engine/providers/felt.h"
#include "engine/providers/felt_tables.h"
#include "engine/reasoning/next.h"
#include "engine/reasoning/reasons.h"
#include "src/answers/answers.h"
#include "src/rules.h"
#include "tests/speed/shipped.h"

namespace perrev {
namespace {

// A case that answers the first `count` facts with evidence, each with its likeliest answer.
CaseFile full_case(const RuleBase& base, int count) {
  CaseFile file;
  for (const Fact& fact : base.facts) {
    if (count == 0) break;
    if (fact.kind == FactKind::text || fact.stop || fact.clear != 0) continue;
    Entry entry;
    entry.at = "2026-05-04T09:12:00Z";
    entry.by = Asker::bay;
    entry.fact = fact.id;
    if (fact.per != Per::vehicle_case) entry.place = "all";
    if (fact.kind == FactKind::several) {
      entry.is_list = true;
      entry.values = {fact.answers.front().id};
    } else if (fact.kind == FactKind::number) {
      entry.values = {show(0.5 * (fact.low + fact.high), fact.unit, Units::metric)};
    } else {
      entry.values = {fact.answers.front().id};
    }
    file.add(entry);
    --count;
  }
  return file;
}

// A rule base of `causes` causes, as many facts and three rules a cause.
std::vector<SourceFile> made_up_rules(int causes) {
  std::string facts, cause_file,
      repairs = "nothing_here: {what: w, minutes: 1, parts: none, proof: p, cures: [c0", rules,
      checks, edges = "gates: {}\nends: {verdict: {what: w}}\nedges:\n";
  for (int i = 0; i < causes; ++i) {
    const std::string n = std::to_string(i), next = std::to_string((i + 1) % causes);
    facts += "f" + n + ":\n  ask: Does it shake in the morning number " + n + "?\n  kind: one\n" +
             "  answers: {a: First answer, b: Second answer, c: Third answer}\n  base: {a: 0.5, b: "
             "0.3, c: 0.2}\n  asked_at: [write_up]\n";
    cause_file += "c" + n + ":\n  name: Cause number " + n +
                  "\n  family: all_of_them\n  usual: 5\n  repair: nothing_here\n" +
                  "  proof: It is gone on the same road\n  shown_by: bay\n";
    if (i > 0) repairs += ", c" + n;
    for (const char* answer : {"a", "b", "c"})
      rules += "- rule: r" + n + "_" + answer + "\n  when: {f" + n + ": " + answer +
               "}\n  for: {c" + n + ": strong}\n  against: {c" + next +
               ": some}\n  because: That is what this cause does, and hardly any other one.\n  "
               "origin: common practice\n";
    checks += "k" + n + ":\n  what: Ask question number " + n + "\n  by: write_up\n  learns: [f" +
              n + "]\n  minutes: 1\n";
    edges += "  - {from: start, to: k" + n + "}\n  - {from: k" + n + ", to: verdict}\n";
  }
  const auto file = [](const char* name, std::string text) {
    return SourceFile{name, name, std::move(text)};
  };
  return {file("facts.yaml", facts),
          file("causes/all.yaml", cause_file),
          file("repairs.yaml", repairs + "]}\n"),
          file("evidence/all.yaml", rules),
          file("checks.yaml", checks),
          file("path.yaml", edges),
          file("limits.yaml", "{}\n"),
          file("families.yaml", "all_of_them: {name: All}\n"),
          file("shop.yaml", "setups: {}\nequipment: {}\n"),
          file("strengths.yaml",
               "strengths: {some: 2.5, strong: 8}\nshares: {not_listed: 0.05, pairs: "
               "0.1}\nlikely_from: 0.5\n")};
}

void load_made_up(benchmark::State& state) {
  const auto files = made_up_rules(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    auto base = load_rule_base(files);
    if (!base) {
      state.SkipWithError(base.error().front().text().c_str());
      break;
    }
    benchmark::DoNotOptimize(base);
  }
  state.SetComplexityN(state.range(0));
}
BENCHMARK(load_made_up)->Arg(100)->Arg(300)->Arg(1000)->Complexity()->Unit(benchmark::kMillisecond);

void load_shipped(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(load_rules(PERREV_SOURCE_FOLDER "/rules"));
}
BENCHMARK(load_shipped)->Unit(benchmark::kMillisecond);

void compile_shipped(benchmark::State& state) {
  for (auto _ : state) {
    const Reasoner made(shipped());
    benchmark::DoNotOptimize(&made);
  }
}
BENCHMARK(compile_shipped)->Unit(benchmark::kMillisecond);

// A felt-speed curve of one fault: 36 speeds.
void felt_curve(benchmark::State& state) {
  const FeltModel model(shipped().physics, 0);
  FaultAt fault;
  fault.size = 0.03;  // kg m
  fault.turns_per_metre = 0.5;
  for (auto _ : state) benchmark::DoNotOptimize(model.curve(fault, said_speeds()));
}
BENCHMARK(felt_curve)->Unit(benchmark::kMillisecond);

// What people say of all faults of one vehicle.
void felt_all(benchmark::State& state) {
  const FeltVehicle vehicle = felt_vehicle(shipped(), nothing_known(shipped()), 0);
  for (auto _ : state)
    for (std::size_t p = 0; p < kFeltParts; ++p)
      benchmark::DoNotOptimize(
          felt_tables(shipped(), vehicle.body, static_cast<FeltPart>(p), vehicle.turns[p]));
  state.counters["faults"] = static_cast<double>(shipped().physics.faults.size());
}
BENCHMARK(felt_all)->Unit(benchmark::kMillisecond);

void rank_with_reasons(benchmark::State& state) {
  const CaseFacts facts = facts_or_die(full_case(shipped(), static_cast<int>(state.range(0))));
  for (auto _ : state) {
    benchmark::DoNotOptimize(rank(reasoner(), facts));
    benchmark::DoNotOptimize(all_reasons(reasoner(), facts));
  }
  state.counters["pairs"] = static_cast<double>(reasoner().pairs().pairs().size());
}
BENCHMARK(rank_with_reasons)->Arg(10)->Arg(60)->Unit(benchmark::kMicrosecond);

void rank_only(benchmark::State& state) {
  const CaseFacts facts = facts_or_die(full_case(shipped(), static_cast<int>(state.range(0))));
  for (auto _ : state) benchmark::DoNotOptimize(rank(reasoner(), facts));
}
BENCHMARK(rank_only)->Arg(10)->Arg(60)->Unit(benchmark::kMicrosecond);

void next_check(benchmark::State& state) {
  const CaseFacts facts = facts_or_die(full_case(shipped(), static_cast<int>(state.range(0))));
  const Ranking ranking = rank(reasoner(), facts);
  const Offers offers = offers_of(shipped(), facts);
  for (auto _ : state) benchmark::DoNotOptimize(next_steps(reasoner(), facts, ranking, offers));
}
BENCHMARK(next_check)->Arg(0)->Arg(10)->Arg(60)->Unit(benchmark::kMillisecond);

// The whole plan of a case: model, look-ahead, and the way on.
void plan_whole(benchmark::State& state) {
  static const Planner planner(reasoner());
  const CaseFacts facts = facts_or_die(full_case(shipped(), static_cast<int>(state.range(0))));
  const Ranking ranking = rank(reasoner(), facts);
  const Offers offers = offers_of(shipped(), facts);
  for (auto _ : state) benchmark::DoNotOptimize(plan_of(planner, facts, ranking, offers, {}));
}
BENCHMARK(plan_whole)->Arg(0)->Arg(10)->Arg(60)->Unit(benchmark::kMillisecond);

// The next step from the facts on, looked ahead whatever a question is worth.
void next_step(benchmark::State& state) {
  static const Planner planner(reasoner());
  const CaseFacts facts = facts_or_die(full_case(shipped(), static_cast<int>(state.range(0))));
  for (auto _ : state) {
    const Ranking ranking = rank(reasoner(), facts);
    const DecisionModel model = planner.model(facts, ranking, offers_of(shipped(), facts), {});
    LookAheadLimits limits;
    limits.price_questions = false;
    benchmark::DoNotOptimize(choices_at(model, outlook_of(model), limits));
  }
}
BENCHMARK(next_step)->Arg(0)->Arg(10)->Arg(60)->Unit(benchmark::kMillisecond);

void trial(benchmark::State& state) {
  static const Planner planner(reasoner());
  const auto strategy = state.range(0) == 0 ? looking_ahead() : entropy_per_minute();
  std::uint64_t seed = 1;
  for (auto _ : state) benchmark::DoNotOptimize(run_trial(planner, *strategy, seed++));
  state.SetLabel(strategy->name());
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(trial)->Arg(0)->Arg(1)->Unit(benchmark::kMillisecond);

// What the server and the page answer about a case of ten facts, from request to answer.
void answer_of_server(benchmark::State& state) {
  static const Answerer answers(shipped());
  static const char* const kAsked[] = {"diagnosis", "ranking", "plan", "questions", "road"};
  const char* const name = kAsked[state.range(0)];
  const std::string request = R"({"case":)" + full_case(shipped(), 10).text() + "}";
  for (auto _ : state) benchmark::DoNotOptimize(answers.answer(name, request));
  state.SetLabel(name);
}
BENCHMARK(answer_of_server)->DenseRange(0, 4)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace perrev

BENCHMARK_MAIN();
