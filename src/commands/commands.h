// The subcommands of `perrev`. Each adds itself to the command line and says what to do when it was
// chosen.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>

#include "engine/quantity/quantity.h"
#include "engine/result.h"

namespace perrev {

enum class Exit { done = 0, answer_is_no = 1, bad_input = 2 };

// What every command that prints a result takes.
struct Common {
  bool json = false;
  std::string units_name = "us";
  std::string rules;
  std::string shop;

  Units units() const { return units_name == "metric" ? Units::metric : Units::us; }
};

// Chosen by parsing; run afterwards by main.
using Action = std::function<Exit()>;

void add_tire_command(CLI::App& app, Action& chosen);
void add_bay_command(CLI::App& app, Action& chosen);
void add_feel_command(CLI::App& app, Action& chosen);
void add_orders_command(CLI::App& app, Action& chosen);
void add_diagnose_command(CLI::App& app, Action& chosen);
void add_interview_command(CLI::App& app, Action& chosen);
void add_plan_command(CLI::App& app, Action& chosen);
void add_report_command(CLI::App& app, Action& chosen);
void add_trial_command(CLI::App& app, Action& chosen);
void add_recording_command(CLI::App& app, Action& chosen);
void add_simulate_command(CLI::App& app, Action& chosen);
void add_rules_command(CLI::App& app, Action& chosen);
void add_serve_command(CLI::App& app, Action& chosen);
void add_store_command(CLI::App& app, Action& chosen);

}  // namespace perrev
