#include "src/usage_error.h"

#include <vector>

#include "engine/quantity/text.h"
#include "engine/result.h"

namespace perrev {

namespace {

template <class Kind>
bool is(const CLI::ParseError& error) {
  return dynamic_cast<const Kind*>(&error) != nullptr;
}

std::vector<std::string> commands_below(const CLI::App& command) {
  std::vector<std::string> out;
  for (const CLI::App* below : command.get_subcommands([](const CLI::App*) { return true; }))
    if (!below->get_name().empty()) out.push_back(below->get_name());
  return out;
}

std::vector<std::string> options_of(const CLI::App& command) {
  std::vector<std::string> out;
  for (const CLI::Option* option : command.get_options())
    for (const std::string& name : option->get_lnames()) out.push_back("--" + name);
  return out;
}

}  // namespace

std::string usage_words(const CLI::App& app, const CLI::ParseError& error) {
  const CLI::App* command = &app;
  std::string name = app.get_name();
  while (!command->get_subcommands().empty()) {
    command = command->get_subcommands().front();
    if (!command->get_name().empty()) name += " " + command->get_name();
  }
  const std::string help = name + " --help";
  const std::vector<std::string> left = command->remaining();
  const std::vector<std::string> below = commands_below(*command);
  std::string what = error.what(), right = "see " + help;
  if (!below.empty() && !left.empty() && left.front().compare(0, 1, "-") != 0) {
    what = perrev::quoted(left.front()) + " is no command of " + name;
    right = near_or(left.front(), below, "see " + help);
  } else if (!below.empty() && left.empty() && is<CLI::RequiredError>(error)) {
    what = "which command of " + name + " is missing";
  } else if (is<CLI::ExtrasError>(error) && !left.empty()) {
    what = perrev::quoted(left.front()) + " is not expected here";
    right = near_or(left.front(), options_of(*command), "see " + help);
  } else if (is<CLI::ConversionError>(error)) {
    const std::size_t at = what.find("--");
    if (at != std::string::npos) what = what.substr(at) + " is no number that can stand there";
  }
  return "perrev: error: " + what + "; " + right;
}

}  // namespace perrev
