#include "src/manual/shell_words.h"
#include "src/manual/writers.h"

namespace perrev {

namespace {

// Brackets and colons have a meaning in what `_arguments` and `_describe` take.
std::string bracketed(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (std::string("[]:\\").find(c) != std::string::npos) out += '\\';
    out += c == '\n' ? ' ' : c;
  }
  return out;
}

// ":FILE:_files", as it follows an option or the place of an argument.
std::string value_spec(const ToldOption& option, const std::string& name) {
  std::string action;
  for (const std::string& one : option.choices) action += (action.empty() ? "(" : " ") + one;
  if (!action.empty()) action += ")";
  if (option.takes == ToldOption::Takes::file) action = "_files";
  if (option.takes == ToldOption::Takes::folder) action = "_files -/";
  return ":" + bracketed(name) + ":" + action;
}

// One word for `_arguments` for each name of the option.
std::string spec(const ToldOption& option) {
  std::string others;
  for (const std::string& one : option.excludes) others += (others.empty() ? "" : " ") + one;
  if (option.names.size() > 1)
    for (const std::string& one : option.names) others += (others.empty() ? "" : " ") + one;
  std::string out;
  for (const std::string& name : option.names) {
    std::string word = others.empty() ? "" : "(" + others + ")";
    if (option.several) word = "*";
    word += name + (option.takes == ToldOption::Takes::nothing ? "" : "=") + "[" +
            bracketed(option.help) + "]";
    if (option.takes != ToldOption::Takes::nothing) word += value_spec(option, option.value());
    out += " \\\n    " + shell_word(word);
  }
  return out;
}

std::string specs(const ToldCommand& command) {
  std::string out;
  int place = 0;
  for (const ToldOption& option : command.options) {
    if (!option.argument) {
      out += spec(option);
      continue;
    }
    std::string word = option.several ? "*" : std::to_string(++place);
    if (!option.required && !option.several) word += ":";
    out += " \\\n    " + shell_word(word + value_spec(option, option.names.front()));
  }
  return out;
}

// A command with others below it hands on what follows their name.
std::string branch(const ToldCommand& command) {
  std::string described, arms;
  for (const ToldCommand& below : command.commands) {
    described += "        " + shell_word(below.name() + ":" + bracketed(below.help)) + "\n";
    arms += "        " + below.name() + ") " + shell_function(below.words) + " && ret=0 ;;\n";
  }
  return R"(  local curcontext="$curcontext" state line ret=1
  typeset -A opt_args
  _arguments -C)" +
         specs(command) + R"( \
    '1:command:->command' \
    '*::argument:->rest' && ret=0
  case $state in
    command)
      local -a commands=(
)" + described +
         R"(      )
      _describe -t commands command commands && ret=0 ;;
    rest)
      case $line[1] in
)" + arms +
         R"(      esac ;;
  esac
  return ret
)";
}

}  // namespace

std::string zsh_completion(const ToldCommand& program) {
  const std::string name = program.words, function = shell_function(name);
  std::string out =
      "#compdef " + name + "\n# zsh completion for " + name + ", made from its commands.\n\n";
  for (const ToldCommand* command : all_of(program)) {
    out += shell_function(command->words) + "() {\n";
    out += command->commands.empty() ? "  _arguments" + specs(*command) + "\n" : branch(*command);
    out += "}\n\n";
  }
  return out + "if [[ $funcstack[1] == " + function + " ]]; then\n  " + function +
         " \"$@\"\nelse\n  compdef " + function + " " + name + "\nfi\n";
}

}  // namespace perrev
