// `perrev rules explain`: everything that touches a rule, a cause, a fact or a check.
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/explain.h"
#include "src/answers/reasoning.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/rules.h"

namespace perrev {

namespace {

struct ExplainOptions {
  Common common;
  std::string name;
  std::string case_path;
};

Exit run(const ExplainOptions& options) {
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  const std::vector<NamedThing> things = things_named(*base, options.name);
  if (things.empty())
    return tell(problem("no rule, cause, fact or check is named " + perrev::quoted(options.name),
                        near_or(options.name, all_ids(*base), "an id of the rule base")));
  const auto open = open_if_given(options.case_path, *base);
  if (!open) return tell(open.error());
  const Reasoning reasoning(*base);
  const Explainer with{reasoning.reasoner, open->has_value() ? &**open : nullptr,
                       options.common.json ? Units::metric : options.common.units()};
  if (options.common.json) {
    nlohmann::ordered_json explained = nlohmann::ordered_json::array();
    for (const NamedThing& thing : things) explained.push_back(explain_json(with, thing));
    const nlohmann::ordered_json out = {{"rules_digest", base->digest}, {"explained", explained}};
    std::cout << indented_json(out) << "\n";
    return Exit::done;
  }
  for (std::size_t i = 0; i < things.size(); ++i)
    std::cout << (i == 0 ? "" : "\n\n") << explain_text(with, things[i]);
  return Exit::done;
}

}  // namespace

void add_rules_explain(CLI::App& rules, Action& chosen) {
  CLI::App* command = rules.add_subcommand(
      "explain", "Tell everything that touches a rule, a cause, a fact or a check");
  const auto options = std::make_shared<ExplainOptions>();
  command->add_option("NAME", options->name, "the id of a rule, a cause, a fact or a check")
      ->required();
  command
      ->add_option("--case", options->case_path,
                   "a case file, or - for standard input: why it spoke there, or did not")
      ->type_name("FILE");
  add_units_and_json(*command, options->common);
  add_rules_option(*command, options->common);
  command->footer(
      "Example: perrev rules explain began_after_tires --case cases/shakes_after_new_tires.json");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
