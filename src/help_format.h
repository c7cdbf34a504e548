// Help of the commands in 80 columns: CLI11's own layout, with what is long broken at blanks.
#pragma once

#include <CLI/CLI.hpp>

namespace perrev {

class HelpFormat : public CLI::Formatter {
 public:
  std::string make_option(const CLI::Option* option, bool is_positional) const override;
  std::string make_subcommand(const CLI::App* command) const override;
  std::string make_description(const CLI::App* command) const override;
  std::string make_footer(const CLI::App* command) const override;
};

}  // namespace perrev
