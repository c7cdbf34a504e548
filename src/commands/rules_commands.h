// The subcommands of `perrev rules`, one file each (rules_NAME.cpp), registered by rules.cpp; and
// the folders that several of them take.
#pragma once

#include <string>

#include "src/commands/commands.h"

namespace perrev {

// The rule base itself, as FOLDER where it is what the command works on, else as --rules.
void add_rules_folder(CLI::App& command, const char* name, std::string& folder);
// --cases.
void add_cases_folder(CLI::App& command, std::string& folder);

void add_rules_check(CLI::App& rules, Action& chosen);
void add_rules_schema(CLI::App& rules, Action& chosen);
void add_rules_test(CLI::App& rules, Action& chosen);
void add_rules_cover(CLI::App& rules, Action& chosen);
void add_rules_explain(CLI::App& rules, Action& chosen);
void add_rules_diff(CLI::App& rules, Action& chosen);
void add_rules_draw(CLI::App& rules, Action& chosen);
void add_rules_fit(CLI::App& rules, Action& chosen);
void add_rules_new(CLI::App& rules, Action& chosen);

}  // namespace perrev
