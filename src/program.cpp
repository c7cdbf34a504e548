#include "src/program.h"

#include <csignal>
#include <exception>
#include <iostream>
#include <memory>
#include <new>

#include "src/commands/commands.h"
#include "src/help_format.h"

namespace perrev {

int run_program(int argc, char** argv) {
  CLI::App app(
      "From \"it shakes\" to the cause: ranks what can make a vehicle vibrate, with reasons, and "
      "says what to do next.",
      "perrev");
  app.formatter(std::make_shared<HelpFormat>());
  app.require_subcommand(1);
  app.footer(
      "The maker's service information and local codes come first. `perrev COMMAND --help` shows "
      "an example.");
  std::signal(SIGXFSZ, SIG_IGN);  // a file that may not grow is an error to be told, not an end
  Action chosen;
  add_diagnose_command(app, chosen);
  add_interview_command(app, chosen);
  add_plan_command(app, chosen);
  add_report_command(app, chosen);
  add_trial_command(app, chosen);
  add_recording_command(app, chosen);
  add_simulate_command(app, chosen);
  add_tire_command(app, chosen);
  add_orders_command(app, chosen);
  add_feel_command(app, chosen);
  add_bay_command(app, chosen);
  add_rules_command(app, chosen);
  add_serve_command(app, chosen);
  add_store_command(app, chosen);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) {  // --help
      app.exit(error);
      return static_cast<int>(Exit::done);
    }
    std::cerr << "perrev: error: " << error.what() << "; see perrev --help\n";
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
  std::cout.flush();
  if (!std::cout) {
    std::cerr << "perrev: error: the output cannot be written; a place with room for it\n";
    return static_cast<int>(Exit::bad_input);
  }
  return static_cast<int>(code);
}

}  // namespace perrev
