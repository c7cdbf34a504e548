#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/answers/diagnosis.h"
#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/commands/diagnose_batch.h"
#include "src/rules.h"

namespace perrev {

namespace {

struct DiagnoseOptions {
  Common common;
  std::string path, batch;
  std::size_t explained = 3, named = 10;
  bool all = false;
};

Exit run(const DiagnoseOptions& options) {
  if (!options.batch.empty())
    return diagnose_batch(options.batch, {options.named, options.explained}, options.common);
  if (options.path.empty()) return tell(problem("no case is given", "CASE, or --batch FILE"));
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  const auto open = open_case(options.path, *base);
  if (!open) return tell(open.error());
  const Reasoning reasoning(*base);
  const Reasoner& reasoner = reasoning.reasoner;
  const Diagnosis diagnosis = diagnose(reasoning.planner, open->file, open->facts);
  if (options.common.json)
    std::cout << indented_json(to_json(reasoner, open->file, open->facts, diagnosis)) << "\n";
  else
    std::cout << to_text(reasoner, open->file, open->facts, diagnosis,
                         options.all ? 0 : std::max<std::size_t>(1, options.explained),
                         options.common.units());
  return Exit::done;
}

}  // namespace

void add_diagnose_command(CLI::App& app, Action& chosen) {
  CLI::App* command = app.add_subcommand(
      "diagnose", "Rank the causes of a case, with reasons, and say what to do next");
  const auto options = std::make_shared<DiagnoseOptions>();
  CLI::Option* path =
      command->add_option("CASE", options->path, "a case file, or - for standard input")
          ->type_name("FILE");
  CLI::Option* batch =
      command
          ->add_option("--batch", options->batch,
                       "cases, one a line, or - for standard input; answers in JSON, one a line")
          ->type_name("FILE")
          ->excludes(path);
  command->add_option("--causes", options->named, "with --batch: how many causes to name")
      ->needs(batch)
      ->check(whole_number())
      ->capture_default_str();
  command->add_option("--explain", options->explained, "how many causes to explain")
      ->check(whole_number())
      ->capture_default_str();
  command->add_flag("--all", options->all, "every cause with every reason")->excludes(batch);
  add_units_and_json(*command, options->common);
  add_rules_option(*command, options->common);
  command->footer(
      "Example: perrev diagnose cases/shakes_after_new_tires.json\n"
      "         perrev diagnose --batch cases.jsonl > answers.jsonl");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
