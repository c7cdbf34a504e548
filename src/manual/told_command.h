// The commands as plain data, read off CLI11 once for the manual page and for the completions of
// both shells, so that these say what `--help` says.
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace perrev {

struct ToldOption {
  enum class Takes { nothing, text, file, folder };

  std::vector<std::string> names;  // "-h", "--help"; of an argument its one name: "CASE"
  std::string help;
  Takes takes = Takes::text;
  std::vector<std::string> choices;  // none: anything
  std::string usual;                 // the default, where it is told
  std::vector<std::string> needs, excludes;
  bool argument = false;  // stands by its place, not by its name
  bool required = false;
  bool several = false;  // more than one value, or again

  // What stands for the value: "FILE"; "us|metric".
  std::string value() const;
};

struct ToldCommand {
  std::string words;                  // "perrev rules check"
  std::string help, footer;           // of its own
  std::vector<ToldOption> options;    // arguments first, else in the order of --help
  std::vector<ToldCommand> commands;  // below it

  std::string name() const;  // the last word
};

// What is hidden from --help is left out.
ToldCommand told(const CLI::App& app);

// The command itself and all below it, each before what is below it.
std::vector<const ToldCommand*> all_of(const ToldCommand& command);

}  // namespace perrev
