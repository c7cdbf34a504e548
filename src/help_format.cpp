#include "src/help_format.h"

#include <sstream>

#include "src/answers/words.h"

namespace perrev {

namespace {

// Each line by itself: an example keeps its own.
std::string lines_wrapped(const std::string& text) {
  std::istringstream lines(text);
  std::string out;
  for (std::string line; std::getline(lines, line);)
    out += line.size() > kColumns ? wrapped(line, 0, 0) : line + "\n";
  return out;
}

// What it is called on the left, what it is on the right; a long name has a line of its own.
std::string named(const std::string& name, std::size_t column, const std::string& text) {
  const std::string head = "  " + name;
  if (text.empty()) return head + "\n";
  return head.size() < column ? row(head, column, text)
                              : wrapped(head, 2, 6) + row("", column, text);
}

}  // namespace

std::string HelpFormat::make_option(const CLI::Option* option, bool is_positional) const {
  const std::string name = make_option_name(option, is_positional);
  std::string kind = make_option_opts(option) + " ";
  if (kind.rfind(" " + name + " ", 0) == 0)
    kind.erase(0, name.size() + 1);  // FILE, which is a FILE
  kind.pop_back();
  return named(name + kind, get_column_width(), make_option_desc(option));
}

std::string HelpFormat::make_subcommand(const CLI::App* command) const {
  return named(command->get_display_name(true), get_column_width(), command->get_description());
}

std::string HelpFormat::make_description(const CLI::App* command) const {
  return lines_wrapped(Formatter::make_description(command));
}

std::string HelpFormat::make_footer(const CLI::App* command) const {
  return lines_wrapped(Formatter::make_footer(command));
}

}  // namespace perrev
