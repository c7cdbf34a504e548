#include "src/manual/shell_words.h"
#include "src/manual/writers.h"

namespace perrev {

namespace {

// What the shell is to complete for a value: words of its own, paths, or nothing.
std::string completed(const ToldOption& option) {
  if (!option.choices.empty()) return "words=" + shell_list(option.choices);
  return option.takes == ToldOption::Takes::file     ? "paths=default"
         : option.takes == ToldOption::Takes::folder ? "paths=dirnames"
                                                     : "words=";
}

// Where no option waits for its value: options after a dash, else commands or what the first
// argument takes.
std::string own_words(const ToldCommand& command) {
  std::vector<std::string> options, below;
  std::string argument = "words=";
  for (const ToldOption& option : command.options) {
    if (!option.argument)
      options.insert(options.end(), option.names.begin(), option.names.end());
    else if (argument == "words=")
      argument = completed(option);
  }
  for (const ToldCommand& one : command.commands) below.push_back(one.name());
  if (!below.empty()) argument = "words=" + shell_list(below);
  return "        *) if [[ $cur == -* ]]; then words=" + shell_list(options) + "; else " +
         argument + "; fi ;;\n";
}

std::string arm(const ToldCommand& command) {
  std::string out = "    " + shell_word(command.words) + ")\n      case $prev in\n";
  for (const ToldOption& option : command.options) {
    if (option.argument || option.takes == ToldOption::Takes::nothing) continue;
    std::string names;
    for (const std::string& name : option.names) names += (names.empty() ? "" : " | ") + name;
    out += "        " + names + ") " + completed(option) + " ;;\n";
  }
  return out + own_words(command) + "      esac ;;\n";
}

}  // namespace

std::string bash_completion(const ToldCommand& program) {
  const std::string name = program.words, function = shell_function(name);
  std::string known, arms;
  for (const ToldCommand* command : all_of(program)) {
    arms += arm(*command);
    if (command != &program) known += (known.empty() ? "" : " | ") + shell_word(command->words);
  }
  return "# bash completion for " + name + ", made from its commands.\n" + function + "() {\n" +
         R"(  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD - 1]}
  if [[ $cur == = ]]; then  # of --option=value, which comes as three words
    cur=
  elif [[ $prev == = ]]; then
    prev=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  local i words= paths= command=)" +
         name + R"(
  for ((i = 1; i < COMP_CWORD; ++i)); do
    case "$command ${COMP_WORDS[i]}" in
      )" +
         known + R"()
        command+=" ${COMP_WORDS[i]}" ;;
    esac
  done
  case $command in
)" + arms +
         R"(  esac
  if [[ $paths ]]; then
    compopt -o "$paths"
  else
    mapfile -t COMPREPLY < <(compgen -W "$words" -- "$cur")
  fi
}
complete -F )" +
         function + " " + name + "\n";
}

}  // namespace perrev
