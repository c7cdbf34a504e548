#include "src/command_line.h"

#include "src/help_format.h"

namespace perrev {

std::unique_ptr<CLI::App> command_line(Action& chosen) {
  auto app = std::make_unique<CLI::App>(
      "From \"it shakes\" to the cause: ranks what can make a vehicle vibrate, with reasons, and "
      "says what to do next.",
      "perrev");
  app->formatter(std::make_shared<HelpFormat>());
  app->set_version_flag("--version", "perrev " PERREV_VERSION, "print the version");
  app->require_subcommand(1);
  app->footer(
      "The maker's service information and local codes come first. `perrev COMMAND --help` shows "
      "an example.");
  add_diagnose_command(*app, chosen);
  add_interview_command(*app, chosen);
  add_plan_command(*app, chosen);
  add_report_command(*app, chosen);
  add_trial_command(*app, chosen);
  add_recording_command(*app, chosen);
  add_simulate_command(*app, chosen);
  add_tire_command(*app, chosen);
  add_orders_command(*app, chosen);
  add_feel_command(*app, chosen);
  add_bay_command(*app, chosen);
  add_rules_command(*app, chosen);
  add_serve_command(*app, chosen);
  add_store_command(*app, chosen);
  return app;
}

}  // namespace perrev
