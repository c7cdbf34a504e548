#include "src/commands/rules_commands.h"

namespace perrev {

void add_rules_folder(CLI::App& command, const char* name, std::string& folder) {
  command.add_option(name, folder, "folder of the rule base; default: the one diagnose uses")
      ->type_name("FOLDER");
}

void add_cases_folder(CLI::App& command, std::string& folder) {
  command
      .add_option("--cases", folder,
                  "folder of the reference cases; default: `cases` beside the rule base")
      ->type_name("FOLDER");
}

void add_rules_command(CLI::App& app, Action& chosen) {
  CLI::App* rules = app.add_subcommand("rules", "Work on the rule base");
  rules->require_subcommand(1);
  rules->footer("Example: perrev rules check rules");
  add_rules_check(*rules, chosen);
  add_rules_schema(*rules, chosen);
  add_rules_test(*rules, chosen);
  add_rules_cover(*rules, chosen);
  add_rules_explain(*rules, chosen);
  add_rules_diff(*rules, chosen);
  add_rules_draw(*rules, chosen);
  add_rules_fit(*rules, chosen);
  add_rules_new(*rules, chosen);
}

}  // namespace perrev
