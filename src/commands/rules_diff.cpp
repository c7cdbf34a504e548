// `perrev rules diff`: what a change of the rule base changes.
#include "src/answers/rules_diff.h"

#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "engine/planning/strategies.h"
#include "engine/quantity/text.h"
#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/files.h"
#include "src/progress_bar.h"
#include "src/reference_cases.h"
#include "src/report/rules_diff_page.h"
#include "src/rules.h"
#include "src/rules_at.h"
#include "src/side_by_side.h"

namespace perrev {

namespace {

struct DiffOptions {
  Common common;
  std::string before, after, cases, page;
  bool all = false;
  int complaints = 100;
  std::uint64_t seed = 1;
};

// A rule base as it was loaded, and everything that it says.
struct LoadedBase {
  ComparedBase named;
  RuleBase base;
  std::vector<RuleThing> things;
};

Result<LoadedBase, Problems> load(const std::string& name, const std::string& folder) {
  auto read = rules_at(name, folder);
  if (!read) return read.error();
  RulesAt at = std::move(read).value();
  const std::vector<ParsedFile> files = parsed_files(std::move(at.files));
  auto base = build_rule_base(files);
  if (!base) {
    Problems problems = {problem("the rule base " + perrev::quoted(name) + " does not load",
                                 "a rule base without errors")};
    problems.insert(problems.end(), base.error().begin(), base.error().end());
    return problems;
  }
  LoadedBase out{{name, at.commit, base->digest}, std::move(base).value(), {}};
  out.things = things_of(out.base, files);
  return out;
}

// Every complaint is one of its own seed, so how they are shared out means nothing.
void simulate(const Reasoning& before, const Reasoning& after, const DiffOptions& options,
              RulesDiff& diff) {
  const std::size_t count = static_cast<std::size_t>(options.complaints);
  const auto strategy = looking_ahead();
  std::vector<TrialRun> runs[2][2];  // drawn from, judged by: before, after
  for (auto& drawn : runs)
    for (auto& judged : drawn) judged.resize(count);
  const Planner* const planners[2] = {&before.planner, &after.planner};
  ProgressBar bar("trials", 4 * count);
  side_by_side(4 * count, [&](std::size_t i) {
    const std::size_t drawn = i / 2 % 2, judged = i % 2, which = i / 4;
    runs[drawn][judged][which] =
        run_trial(*planners[drawn], *planners[judged], *strategy, options.seed * 1000003 + which);
    bar.step();
  });
  diff.drawn_from_before = paired_report(runs[0][0], runs[0][1]);
  diff.drawn_from_after = paired_report(runs[1][0], runs[1][1]);
}

Exit run(const DiffOptions& options) {
  const std::string folder = rules_folder(options.common.rules);
  // A revision is looked up where the new rule base stands.
  const bool is_folder = std::filesystem::is_directory(options.after);
  const auto before = load(options.before, is_folder ? options.after : folder);
  const auto after = load(options.after.empty() ? folder : options.after, folder);
  if (!before) tell(before.error());
  if (!after) tell(after.error());
  if (!before || !after) return Exit::bad_input;
  const auto paths = case_paths(cases_folder(folder, options.cases));
  if (!paths) return tell(paths.error());
  const Reasoning old_one(before->base), new_one(after->base);
  RulesDiff diff;
  diff.before = before->named;
  diff.after = after->named;
  diff.rules = rule_changes(before->things, after->things);
  take_cases(compare_cases(old_one.planner, new_one.planner, *paths), options.all, diff);
  if (options.complaints > 0 && !diff.rules.empty()) {
    diff.seed = options.seed;
    simulate(old_one, new_one, options, diff);
  }
  if (!options.page.empty()) {
    const Problems problems = write_output(
        options.page, whole_document(rules_diff_page(diff, PERREV_VERSION)), {"<!DOCTYPE html>"});
    if (!problems.empty()) return tell(problems);
  }
  if (options.common.json)
    std::cout << indented_json(to_json(diff)) << "\n";
  else
    std::cout << to_text(diff);
  return diff.breaks() ? Exit::answer_is_no : Exit::done;
}

}  // namespace

void add_rules_diff(CLI::App& rules, Action& chosen) {
  CLI::App* command = rules.add_subcommand(
      "diff", "Tell what a change of the rule base changes: rules, reference cases, complaints");
  const auto options = std::make_shared<DiffOptions>();
  command
      ->add_option("OLD", options->before,
                   "a folder, or a git revision: HEAD, a tag, a commit, REV:FOLDER")
      ->type_name("FOLDER")
      ->required();
  command->add_option("NEW", options->after, "the same; default: the rule base of --rules")
      ->type_name("FOLDER");
  add_cases_folder(*command, options->cases);
  command
      ->add_option("--complaints", options->complaints,
                   "simulated complaints drawn from each rule base; 0: none")
      ->check(CLI::Range(0, 1000000))
      ->capture_default_str();
  command->add_option("--seed", options->seed, "the same seed gives the same complaints")
      ->check(whole_number())
      ->capture_default_str();
  command->add_option("--html", options->page, "write it here too, as a page to read and print")
      ->type_name("FILE");
  command->add_flag("--all", options->all, "list cases that hardly move, too");
  command->add_flag("--json", options->common.json, "print JSON");
  add_rules_option(*command, options->common);
  command->footer("Example: perrev rules diff HEAD");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
