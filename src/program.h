// The command line as a whole: subcommands, exit codes (0 done, 1 the answer is no, 2 bad input or
// usage).
#pragma once

namespace perrev {

int run_program(int argc, char** argv);

}  // namespace perrev
