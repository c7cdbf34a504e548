#include "src/manual/told_command.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <sstream>

namespace perrev {

namespace {

// Of "TEXT:{us,metric}", as CLI11 tells what IsMember allows.
std::vector<std::string> choices_in(const std::string& type) {
  const std::size_t begin = type.find('{'), end = type.rfind('}');
  std::vector<std::string> out;
  if (begin == std::string::npos || end == std::string::npos) return out;
  std::istringstream all(type.substr(begin + 1, end - begin - 1));
  for (std::string one; std::getline(all, one, ',');) out.push_back(one);
  return out;
}

ToldOption::Takes taken_by(const CLI::Option& option) {
  if (option.get_expected_max() == 0) return ToldOption::Takes::nothing;  // a flag
  const std::string type = option.get_type_name();
  return type == "FILE"     ? ToldOption::Takes::file
         : type == "FOLDER" ? ToldOption::Takes::folder
                            : ToldOption::Takes::text;
}

// In the order of their names: CLI11 holds them by address.
std::vector<std::string> names_of(const std::set<CLI::Option*>& options) {
  std::vector<std::string> out;
  for (const CLI::Option* one : options) out.push_back(one->get_name());
  std::sort(out.begin(), out.end());
  return out;
}

ToldOption told(const CLI::Option& option) {
  ToldOption out;
  out.argument = option.get_positional();
  if (out.argument) out.names = {option.get_name(true)};
  for (const std::string& one : option.get_snames()) out.names.push_back("-" + one);
  for (const std::string& one : option.get_lnames()) out.names.push_back("--" + one);
  out.help = option.get_description();
  out.takes = taken_by(option);
  out.choices = choices_in(option.get_type_name());
  out.usual = option.get_default_str();
  out.needs = names_of(option.get_needs());
  out.excludes = names_of(option.get_excludes());
  out.required = option.get_required();
  out.several = out.takes != ToldOption::Takes::nothing && option.get_items_expected_max() > 1;
  return out;
}

// Where a command has none, CLI11 gives it that of a command above.
std::string own_footer(const CLI::App& app) {
  for (const CLI::App* above = app.get_parent(); above; above = above->get_parent())
    if (above->get_footer() == app.get_footer()) return "";
  return app.get_footer();
}

ToldCommand told_below(const CLI::App& app, const std::string& above) {
  ToldCommand out;
  out.words = above + app.get_name();
  out.help = app.get_description();
  out.footer = own_footer(app);
  for (const bool argument : {true, false})
    for (const CLI::Option* option : app.get_options())
      if (option->get_positional() == argument && !option->get_group().empty())
        out.options.push_back(told(*option));
  for (const CLI::App* below : app.get_subcommands([](const CLI::App*) { return true; })) {
    if (below->get_name().empty()) {  // a group of options
      for (const CLI::Option* option : below->get_options())
        if (option != below->get_help_ptr()) out.options.push_back(told(*option));
    } else if (!below->get_group().empty()) {
      out.commands.push_back(told_below(*below, out.words + " "));
    }
  }
  return out;
}

}  // namespace

std::string ToldOption::value() const {
  std::string out;
  for (const std::string& one : choices) out += (out.empty() ? "" : "|") + one;
  if (!out.empty()) return out;
  return takes == Takes::file     ? "FILE"
         : takes == Takes::folder ? "FOLDER"
         : takes == Takes::text   ? "VALUE"
                                  : "";
}

std::string ToldCommand::name() const { return words.substr(words.rfind(' ') + 1); }

ToldCommand told(const CLI::App& app) { return told_below(app, ""); }

std::vector<const ToldCommand*> all_of(const ToldCommand& command) {
  std::vector<const ToldCommand*> out = {&command};
  for (const ToldCommand& below : command.commands) {
    const auto deeper = all_of(below);
    out.insert(out.end(), deeper.begin(), deeper.end());
  }
  return out;
}

}  // namespace perrev
