#include "src/rules.h"

#include <chrono>
#include <cmath>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/bench/junit.h"
#include "engine/json_text.h"
#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/files.h"
#include "src/reference_cases.h"
#include "src/saves.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

struct TestOptions {
  bool json = false, watch = false;
  std::string rules, cases, junit;
  std::vector<std::string> only;
};

struct Tested {
  std::string rules_digest;
  std::vector<TestedCase> cases;

  std::size_t count(CaseStanding standing) const {
    std::size_t out = 0;
    for (const TestedCase& of : cases) out += of.standing == standing ? 1u : 0u;
    return out;
  }
  bool ok() const {
    for (const TestedCase& of : cases)
      if (fails(of.standing)) return false;
    return true;
  }
};

Result<Tested, Problems> test(const TestOptions& options) {
  const auto base = load_rules(options.rules);
  if (!base) return base.error();
  const auto paths = case_paths(options.cases, options.only);
  if (!paths) return paths.error();
  const Reasoning reasoning(*base);
  return Tested{base->digest, test_cases(reasoning.planner, *paths)};
}

std::string miss_words(const Miss& miss) {
  std::string out = "expected " + miss.expected + "; came " + miss.came;
  std::string by;
  for (const Decider& decider : miss.deciders)
    by += ", " + decider.name + " " + decibans(decider.decibans);
  if (miss.prior_decibans >= 0.5) by += ", how usual " + decibans(miss.prior_decibans);
  return by.empty() ? out : out + "; by " + by.substr(2);
}

std::string case_words(const TestedCase& of) {
  std::string out;
  switch (of.standing) {
    case CaseStanding::passed:
    case CaseStanding::unreadable:
      break;  // nothing to say; said among the problems
    case CaseStanding::failed:
      for (const Miss& miss : of.misses)
        out += wrapped("failed: " + of.name + ": " + miss_words(miss), 0, 4);
      break;
    case CaseStanding::known_gap:
      out = wrapped("known gap: " + of.name + ": " + of.known_gap, 0, 4);
      break;
    case CaseStanding::gap_closed:
      out = wrapped("failed: " + of.name + ": known gap is closed; remove known_gap", 0, 4);
      break;
  }
  return out;
}

std::string to_text(const Tested& tested) {
  std::string out;
  for (const TestedCase& of : tested.cases) out += case_words(of);
  const auto part = [&](CaseStanding standing, const char* words) {
    const std::size_t count = tested.count(standing);
    return count == 0 ? std::string() : ", " + std::to_string(count) + words;
  };
  return out + wrapped(std::to_string(tested.cases.size()) +
                           (tested.cases.size() == 1 ? " case: " : " cases: ") +
                           std::to_string(tested.count(CaseStanding::passed)) + " as expected" +
                           part(CaseStanding::failed, " failed") +
                           part(CaseStanding::gap_closed, " gap closed") +
                           part(CaseStanding::known_gap, " known gap") +
                           part(CaseStanding::unreadable, " unreadable"),
                       0, 2);
}

Json to_json(const Miss& miss) {
  Json rules = Json::array();
  for (const Decider& decider : miss.deciders)
    rules.push_back(
        {{"rule", decider.rule < 0 ? Json(nullptr) : Json(decider.name)},
         {"name", decider.name},
         {"weight_decibans",
          std::isinf(decider.decibans) ? Json(nullptr) : Json(six_digits(decider.decibans))},
         {"because", decider.because}});
  return {{"key", miss.key},
          {"expected", miss.expected},
          {"came", miss.came},
          {"cause", miss.cause.empty() ? Json(nullptr) : Json(miss.cause)},
          {"above", miss.above.empty() ? Json(nullptr) : Json(miss.above)},
          {"rules", rules},
          {"prior_decibans", six_digits(miss.prior_decibans)}};
}

Json to_json(const TestedCase& of) {
  Json problems = Json::array(), misses = Json::array();
  for (const Problem& p : of.problems)
    problems.push_back({{"file", p.place.file},
                        {"line", p.place.line},
                        {"column", p.place.column},
                        {"pointer", p.place.pointer},
                        {"what", p.what},
                        {"right", p.right}});
  for (const Miss& miss : of.misses) misses.push_back(to_json(miss));
  return {
      {"case", of.name},   {"standing", name_of(of.standing)},
      {"about", of.about}, {"known_gap", of.known_gap.empty() ? Json(nullptr) : Json(of.known_gap)},
      {"misses", misses},  {"problems", problems}};
}

Json to_json(const Tested& tested) {
  Json results = Json::array();
  for (const TestedCase& of : tested.cases) results.push_back(to_json(of));
  return {{"ok", tested.ok()},
          {"rules_digest", tested.rules_digest},
          {"cases", tested.cases.size()},
          {"passed", tested.count(CaseStanding::passed)},
          {"failed", tested.count(CaseStanding::failed)},
          {"known_gaps", tested.count(CaseStanding::known_gap)},
          {"gaps_closed", tested.count(CaseStanding::gap_closed)},
          {"unreadable", tested.count(CaseStanding::unreadable)},
          {"results", results}};
}

// One run, told in the way that was asked for.
Exit run_once(const TestOptions& options) {
  const auto tested = test(options);
  if (!tested) return tell(tested.error());
  for (const TestedCase& of : tested->cases)
    if (!of.problems.empty()) tell(of.problems);
  if (!options.junit.empty()) {
    const auto problems = write_output(options.junit, junit_xml(tested->cases), {"<?xml"});
    if (!problems.empty()) return tell(problems);
  }
  if (!options.json)
    std::cout << to_text(*tested);
  else if (options.watch)
    std::cout << compact_json(to_json(*tested)) << "\n";
  else
    std::cout << indented_json(to_json(*tested)) << "\n";
  if (tested->count(CaseStanding::unreadable) > 0) return Exit::bad_input;
  return tested->ok() ? Exit::done : Exit::answer_is_no;
}

// Until a signal ends it, or nobody reads any more.
Exit watch(const TestOptions& options) {
  Saves saves({options.rules, options.cases});
  while (std::cout) {
    const auto start = std::chrono::steady_clock::now();
    run_once(options);
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    if (!options.json)
      std::cout << fixed(took.count(), 2) << " s; waiting for a save, Ctrl-C ends it\n";
    std::cout.flush();
    saves.wait();
    if (!options.json) std::cout << "\n";
  }
  return Exit::done;
}

Exit run(TestOptions options) {
  options.rules = rules_folder(options.rules);
  options.cases = cases_folder(options.rules, options.cases);
  return options.watch ? watch(options) : run_once(options);
}

}  // namespace

void add_rules_test(CLI::App& rules, Action& chosen) {
  CLI::App* command =
      rules.add_subcommand("test", "Hold every reference case against what must come of it");
  const auto options = std::make_shared<TestOptions>();
  add_rules_folder(*command, "FOLDER", options->rules);
  add_cases_folder(*command, options->cases);
  command->add_option("--only", options->only, "names of cases");
  command->add_option("--junit", options->junit, "write the results here too, as JUnit XML")
      ->type_name("FILE");
  command->add_flag("--json", options->json, "print JSON; with --watch one line a run");
  command->add_flag("--watch", options->watch, "again after each save of a rule file or a case");
  command->footer("Example: perrev rules test rules --watch");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
