// The commands of `perrev` as CLI11 knows them: to be parsed by the program, and to be told by the
// manual and the completions.
#pragma once

#include <memory>

#include "src/commands/commands.h"

namespace perrev {

// Parsing sets `chosen`, which must outlive the result.
std::unique_ptr<CLI::App> command_line(Action& chosen);

}  // namespace perrev
