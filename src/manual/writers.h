// What a system wants to know of a program's commands, as text. Equal commands give equal text; no
// clock and no path goes in.
#pragma once

#include <string>

#include "src/manual/told_command.h"

namespace perrev {

// The manual page, in roff's `man` macros: `frame` with @COMMANDS@, @EXAMPLES@, @VERSION@ and
// @DATE@ put in. `date` is "2026-05-04".
std::string man_page(const ToldCommand& program, const std::string& frame,
                     const std::string& version, const std::string& date);

// A script that completes commands, options, choices and paths in bash; it needs nothing else.
std::string bash_completion(const ToldCommand& program);

// The same for zsh, by its `_arguments`.
std::string zsh_completion(const ToldCommand& program);

}  // namespace perrev
