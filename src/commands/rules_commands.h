// The subcommands of `perrev rules`, one file each (rules_NAME.cpp), registered by rules.cpp.
#pragma once

#include "src/commands/commands.h"

namespace perrev {

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
