#include "src/program.h"

#include <csignal>
#include <exception>
#include <iostream>
#include <new>

#include "src/command_line.h"
#include "src/usage_error.h"

namespace perrev {

namespace {

int written(Exit code) {
  std::cout.flush();
  if (std::cout) return static_cast<int>(code);
  std::cerr << "perrev: error: the output cannot be written; a place with room for it\n";
  return static_cast<int>(Exit::bad_input);
}

}  // namespace

int run_program(int argc, char** argv) {
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may not grow is an error to be told, not an end
  Action chosen;
  const auto app = command_line(chosen);
  try {
    app->parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) {  // --help, --version
      app->exit(error);
      return written(Exit::done);
    }
    std::cerr << usage_words(*app, error) << "\n";
    return static_cast<int>(Exit::bad_input);
  }
  Exit code = Exit::bad_input;
  try {
    if (chosen) code = chosen();
  } catch (const std::bad_alloc&) {
    std::cerr << "perrev: error: not enough memory; a smaller input, or more memory\n";
    return static_cast<int>(Exit::bad_input);
  } catch (const std::exception&) {
    std::cerr
        << "perrev: error: the system refused what was needed; check folders, links and rights\n";
    return static_cast<int>(Exit::bad_input);
  }
  return written(code);
}

}  // namespace perrev
