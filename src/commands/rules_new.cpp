// `perrev rules new`: a fact, a cause, a rule or a check written into the rule base, with a
// reference case for it.
#include <memory>

#include "engine/quantity/text.h"
#include "src/commands/common.h"
#include "src/commands/new_making.h"
#include "src/commands/rules_commands.h"
#include "src/commands/rules_new_rest.h"
#include "src/rules.h"

namespace perrev {

namespace {

Exit run(NewKind kind, NewOptions options) {
  auto file = evidence_file(options.file);
  if (!file) return tell_option("--in", file.error());
  options.file = std::move(file).value();
  auto open = WouldBe::open(rules_folder(options.rules));
  if (!open) return tell(open.error());
  return make_new(kind, options, std::move(open).value());
}

// The question that it answers, with its words, or how to say it where that is no plain word.
std::string description(NewKind kind, const Field& field) {
  for (const NewQuestion& question : questions_of(kind)) {
    if (question.key != field.key) continue;
    std::vector<std::string> words;
    for (const FieldChoice& choice : field.choices) words.emplace_back(choice.word);
    return std::string(question.ask) + (words.empty() ? "" : " (" + joined(words) + ")") +
           (question.one_a_line ? " " + std::string(question.help) : "");
  }
  return std::string(field.doc);
}

void add_fields(CLI::App& command, NewKind kind, const std::string& before, NewOptions& options) {
  for (const Field& field : fields_of(kind)) {
    if (kind == NewKind::rule && field.key == "rule") continue;
    if (kind == NewKind::repair && field.key == "cures") continue;
    const std::string key = before + std::string(field.key);
    command.add_option(option_of(key), options.said[key], description(kind, field))
        ->allow_extra_args(false)
        ->group(before.empty() ? "What it says" : "Of a new repair");
  }
}

void add_kind(CLI::App& of, Action& chosen, NewKind kind, const std::string& about,
              const std::string& example) {
  CLI::App* command = of.add_subcommand(std::string(name_of(kind)), about);
  const auto options = std::make_shared<NewOptions>();
  command->add_option("NAME", options->id, "what it is called: small letters, digits and _");
  add_fields(*command, kind, "", *options);
  if (kind == NewKind::cause) add_fields(*command, NewKind::repair, "repair_", *options);
  if (kind == NewKind::check) {
    command
        ->add_option("--after", options->said["after"],
                     "checks or gates after which it is offered; default: start, or the gate "
                     "that guards it")
        ->allow_extra_args(false);
    command
        ->add_option("--offered-if", options->said["offered_if"],
                     "a condition on which it is offered")
        ->allow_extra_args(false);
  }
  if (kind == NewKind::rule)
    command->add_option("--in", options->file,
                        "file of rules, as evidence/felt.yaml; one that is not there is made");
  command->add_option("--below", options->below,
                      "the entry below which it is written; default: the last of its kin");
  if (kind != NewKind::fact) {
    CLI::Option* seen = command
                            ->add_option("--seen", options->seen,
                                         "what a vehicle with the cause showed, for the reference "
                                         "case: \"fact: answer\"")
                            ->allow_extra_args(false);
    CLI::Option* out =
        command
            ->add_option("--case-out", options->case_out, "write the reference case to this file")
            ->type_name("FILE");
    command->add_flag("--no-case", options->no_case, "offer no reference case")
        ->excludes(out)
        ->excludes(seen);
  }
  command->add_option("--rules", options->rules, "folder of the rule base")->type_name("FOLDER");
  CLI::Option* yes = command->add_flag("--yes", options->yes, "ask nothing and write");
  CLI::Option* json = command->add_flag("--json", options->json, "print JSON; asks nothing");
  command->add_flag("--prompt", options->prompt, "ask even where nobody sits at a terminal")
      ->excludes(yes)
      ->excludes(json);
  command->footer(
      "A pair is one option: --for loose_shields:strong --for body:hint. Text in\n"
      "brackets stands as in the files: \"{not: {felt_at: seat}}\".\n"
      "Example: " +
      example);
  command->callback(
      [&chosen, kind, options] { chosen = [kind, options] { return run(kind, *options); }; });
}

}  // namespace

void add_rules_new(CLI::App& rules, Action& chosen) {
  CLI::App* command = rules.add_subcommand(
      "new", "Ask for a new fact, cause, rule or check and write it into its file");
  command->require_subcommand(1);
  add_kind(*command, chosen, NewKind::fact, "A thing that can be known: its question and answers",
           "perrev rules new fact exhaust_hanger_torn");
  add_kind(*command, chosen, NewKind::cause, "A thing that can be wrong, and its repair",
           "perrev rules new cause loose_exhaust_hanger");
  add_kind(*command, chosen, NewKind::rule, "What facts say for or against causes",
           "perrev rules new rule exhaust_hanger_found_torn");
  add_kind(*command, chosen, NewKind::check, "What a person does to learn facts, and its edge",
           "perrev rules new check look_at_exhaust_hangers");
  command->footer("Example: perrev rules new cause loose_exhaust_hanger");
}

}  // namespace perrev
