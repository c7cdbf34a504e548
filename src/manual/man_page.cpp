#include <utility>

#include "src/manual/writers.h"

namespace perrev {

namespace {

// Text that roff prints as it stands. A dash is made the ASCII one, so that what is copied from the
// page can be typed.
std::string plain(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool at_start = out.empty() || out.back() == '\n';
    if (at_start && (c == '.' || c == '\'')) out += "\\&";
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out;
}

std::string bold(const std::string& text) { return "\\fB" + plain(text) + "\\fR"; }
std::string italic(const std::string& text) { return "\\fI" + plain(text) + "\\fR"; }

// Lines that stay as they are.
std::string kept_lines(const std::string& text) {
  return ".nf\n" + plain(text) + (text.empty() || text.back() != '\n' ? "\n" : "") + ".fi\n";
}

std::string as_sentence(const std::string& text) {
  std::string out = text;
  while (!out.empty() && (out.back() == '\n' || out.back() == ' ')) out.pop_back();
  const bool ends = out.empty() || std::string(".?!:").find(out.back()) != std::string::npos;
  return ends ? out : out + ".";
}

std::string one_line(const std::string& text) {
  std::string out = text;
  for (char& c : out)
    if (c == '\n') c = ' ';
  return out;
}

// A long list of choices may be broken after each.
std::string value_of(const ToldOption& option) {
  std::string out = italic(option.value());
  for (std::size_t at = out.find('|'); at != std::string::npos; at = out.find('|', at + 1))
    out.insert(at + 1, "\\:");
  return out;
}

// "CASE", "[FOLDER]", "FILE ...".
std::string usage(const ToldCommand& command) {
  std::string out = bold(command.words);
  if (!command.commands.empty()) out += " " + italic("COMMAND");
  for (const ToldOption& option : command.options) {
    if (option.argument) {
      const std::string name = italic(option.names.front()) + (option.several ? " ..." : "");
      out += option.required ? " " + name : " [" + name + "]";
    } else if (option.required) {
      out += " " + bold(option.names.back()) + " " + value_of(option);
    }
  }
  return out + " [" + italic("OPTIONS") + "]\n";
}

std::string listed(const std::vector<std::string>& names) {
  std::string out;
  for (const std::string& one : names) out += (out.empty() ? "" : ", ") + one;
  return out;
}

std::string option_part(const ToldOption& option) {
  std::string out = ".TP\n";
  if (option.argument) {
    out += italic(option.names.front());
  } else {
    for (std::size_t i = 0; i < option.names.size(); ++i)
      out += (i ? ", " : "") + bold(option.names[i]);
    if (option.takes != ToldOption::Takes::nothing) out += " " + value_of(option);
  }
  out += "\n" + plain(as_sentence(one_line(option.help)));
  if (!option.usual.empty()) out += plain(" Default: " + option.usual + ".");
  if (option.required) out += " Required.";
  if (option.several && !option.argument) out += " May be given again.";
  if (!option.needs.empty()) out += plain(" Needs " + listed(option.needs) + ".");
  if (!option.excludes.empty()) out += plain(" Not with " + listed(option.excludes) + ".");
  return out + "\n";
}

std::string command_part(const ToldCommand& command) {
  std::string out = ".SS " + plain(command.words) + "\n" + plain(as_sentence(command.help)) +
                    "\n.PP\n" + usage(command);
  for (const ToldOption& option : command.options)
    if (option.names.back() != "--help") out += option_part(option);
  if (!command.footer.empty()) out += ".PP\n" + kept_lines(command.footer);
  return out;
}

// The footers' examples, in their order.
std::string examples(const ToldCommand& program) {
  const std::string mark = "Example: ", next = "\n         ";  // a further one stands below it
  std::string out;
  for (const ToldCommand* command : all_of(program)) {
    const std::size_t at = command->footer.find(mark);
    if (at == std::string::npos || command->words.find(' ') != command->words.rfind(' ')) continue;
    std::string lines = command->footer.substr(at + mark.size());
    for (std::size_t i = lines.find(next); i != std::string::npos; i = lines.find(next))
      lines.replace(i, next.size(), "\n");
    out += ".PP\n" + plain(as_sentence(command->help)) + "\n.PP\n.RS 4\n" + kept_lines(lines) +
           ".RE\n";
  }
  return out;
}

}  // namespace

std::string man_page(const ToldCommand& program, const std::string& frame,
                     const std::string& version, const std::string& date) {
  std::string commands;
  for (const ToldCommand* command : all_of(program))
    if (command != &program) commands += command_part(*command);
  const std::pair<std::string, std::string> parts[] = {{"@COMMANDS@\n", commands},
                                                       {"@EXAMPLES@\n", examples(program)},
                                                       {"@VERSION@", plain(version)},
                                                       {"@DATE@", date}};
  std::string out = frame;
  for (const auto& [mark, text] : parts)
    for (std::size_t at = out.find(mark); at != std::string::npos; at = out.find(mark, at))
      out.replace(at, mark.size(), text), at += text.size();
  return out;
}

}  // namespace perrev
