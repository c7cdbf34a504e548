// The subcommands of `perrev rules`, registered by rules.cpp.
#pragma once

#include "src/commands/commands.h"

namespace perrev {

void add_rules_check(CLI::App& rules, Action& chosen);

}  // namespace perrev
