// The manual page and the completions say what `--help` says, and bash really completes.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include "tests/src/run_perrev.h"

using namespace perrev::test;

namespace {

struct Option {
  std::string kind;  // "FILE"; empty: a flag
  std::vector<std::string> choices;
};

// What `--help` of a command says, read as a person reads it.
struct Help {
  std::vector<std::string> commands;
  std::map<std::string, Option> options, arguments;
};

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> out;
  std::istringstream all(text);
  for (std::string one; std::getline(all, one, at);) out.push_back(one);
  return out;
}

Help help_of(std::vector<std::string> words) {
  words.emplace_back("--help");
  Help out;
  std::string part = "Usage";
  // A name stands two columns in: "  --units TEXT:{us,metric}=us  us or metric".
  const std::regex line(
      R"(^  (?:  (?=--))?((?:-\w,)?[-\w]+)(?: (\S+?)(?:=\S+)?)?(?: \.\.\.)?(?: .*)?$)");
  const std::regex kind(R"((TEXT|FLOAT|INT|UINT|FILE|FOLDER|\w+)(?::(.+))?)");
  // What is too long for the name's line stands six in, on the next.
  const std::string help =
      std::regex_replace(run_perrev(words).out, std::regex(R"(\n {6}(?=\S))"), " ");
  for (const std::string& text : split(help, '\n')) {
    if (!text.empty() && text[0] != ' ') part = text;
    if (part.rfind("[Option Group", 0) == 0) part = "Options:";
    std::smatch found;
    if (!std::regex_match(text, found, line)) continue;
    const std::string name = found[1];
    if (part == "Subcommands:") {
      out.commands.push_back(name);
    } else if (part.back() == ':' && (name[0] == '-' || part == "Positionals:")) {
      Option option;
      std::smatch type;
      const std::string second = found[2];
      if (std::regex_match(second, type, kind)) {
        option.kind = type[1];
        const std::string of = type[2];
        if (!of.empty() && of.front() == '{')
          option.choices = split(of.substr(1, of.find('}') - 1), ',');
      }
      if (name == "FILE" || name == "FOLDER") option.kind = name;  // said once
      if (part == "Positionals:")
        out.arguments[name] = option;
      else
        out.options[name.rfind("-h,", 0) == 0 ? "--help" : name] = option;
    }
  }
  return out;
}

using Words = std::vector<std::string>;

void walk(const Words& words, std::map<Words, Help>& out) {
  const Help help = help_of(words);
  out[words] = help;
  for (const std::string& below : help.commands) {
    Words deeper = words;
    deeper.push_back(below);
    walk(deeper, out);
  }
}

const std::map<Words, Help>& all_help() {
  static const std::map<Words, Help> all = [] {
    std::map<Words, Help> out;
    walk({}, out);
    return out;
  }();
  return all;
}

std::string line_of(const Words& words) {
  std::string out = "perrev";
  for (const std::string& one : words) out += " " + one;
  return out;
}

std::string escaped(const std::string& text) {
  return std::regex_replace(text, std::regex("-"), "\\-");
}

std::string made(const std::string& name) { return read_whole(PERREV_MANUAL_FOLDER "/" + name); }

// What bash offers at the end of each line; "paths=default" and the like where it asks readline.
std::vector<std::set<std::string>> completed(const std::vector<std::string>& lines) {
  const Folder folder;
  std::string script = "source " PERREV_MANUAL_FOLDER
                       "/perrev.bash\n"
                       "compopt() { COMPREPLY=(\"paths=$2\"); }\n"
                       "on() { COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); COMPREPLY=(); "
                       "_perrev; echo \"${COMPREPLY[*]}\"; }\n";
  for (const std::string& line : lines) script += "on " + line + "\n";
  folder.write("lines.sh", script);
  std::string out;
  const std::string command = "bash --norc " + folder.path("lines.sh");
  FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe);
  std::array<char, 4096> buffer{};
  while (const std::size_t got = std::fread(buffer.data(), 1, buffer.size(), pipe))
    out.append(buffer.data(), got);
  CHECK(::pclose(pipe) == 0);
  std::vector<std::set<std::string>> offered;
  for (const std::string& line : split(out, '\n')) {
    const auto words = split(line, ' ');
    offered.emplace_back(words.begin(), words.end());
  }
  REQUIRE(offered.size() == lines.size());
  return offered;
}

}  // namespace

TEST_CASE("help is read whole: a command, an argument and an option of each sort are there") {
  const auto& all = all_help();
  CHECK(all.size() > 40);
  CHECK(all.count({"rules", "new", "cause"}) == 1);
  CHECK(all.count({"bay", "joint-angles"}) == 1);
  CHECK(all.at({"diagnose"}).arguments.at("CASE").kind == "FILE");
  CHECK(all.at({"diagnose"}).options.at("--rules").kind == "FOLDER");
  CHECK(all.at({"diagnose"}).options.at("--all").kind.empty());
  CHECK(all.at({"diagnose"}).options.at("--units").choices == Words{"us", "metric"});
  CHECK(all.at({"rules", "draw"}).options.count("--family") == 1);  // of a group
}

TEST_CASE("the manual page has every command with its options and arguments") {
  const std::string page = made("perrev.1");
  for (const auto& [words, help] : all_help()) {
    if (words.empty()) continue;
    const std::string head = "\n.SS " + escaped(line_of(words)) + "\n";
    INFO(head);
    const std::size_t begin = page.find(head);
    REQUIRE(begin != std::string::npos);
    const std::string part = page.substr(begin, page.find("\n.S", begin + 1) - begin);
    CHECK(part.find("shows an example") == std::string::npos);  // the program's own last line
    for (const auto& [name, option] : help.options) {
      INFO(name);
      if (name != "--help") CHECK(part.find("\n.TP\n\\fB" + escaped(name)) != std::string::npos);
      for (const std::string& choice : option.choices)
        CHECK(part.find(escaped(choice)) != std::string::npos);
    }
    for (const auto& [name, option] : help.arguments) {
      INFO(name);
      const std::size_t at = part.find("\n.TP\n\\fI" + name);
      CHECK(at != std::string::npos);
      CHECK(at < part.find("\n.TP\n\\fB"));  // before every option
    }
  }
}

TEST_CASE("the manual page bears the version's day, and its parts in their order") {
  const std::string page = made("perrev.1");
  CHECK(page.find(".TH PERREV 1 " PERREV_DATE " \"perrev " PERREV_VERSION "\"") !=
        std::string::npos);
  CHECK(page.find('@') == std::string::npos);
  std::size_t at = 0;
  for (const char* part : {"NAME", "SYNOPSIS", "DESCRIPTION", "COMMANDS", "FILES", "ENVIRONMENT",
                           "EXIT STATUS", "SAFETY", "EXAMPLES", "SEE ALSO"}) {
    const std::size_t found = page.find("\n.SH " + std::string(part) + "\n");
    INFO(part);
    CHECK(found != std::string::npos);
    CHECK(found > at);
    at = found;
  }
}

TEST_CASE("the manual page tells every variable of the environment that the program reads") {
  const std::string page = made("perrev.1");
  const std::string part = page.substr(page.find("\n.SH ENVIRONMENT\n"));
  std::set<std::string> read;
  const std::regex name("\"((PERREV|XDG)_[A-Z_]+|HOME)\"");
  for (const auto& file : std::filesystem::recursive_directory_iterator(project("src"))) {
    if (file.path().extension() != ".cpp") continue;
    const std::string text = read_whole(file.path().string());
    for (std::sregex_iterator at(text.begin(), text.end(), name), end; at != end; ++at)
      read.insert((*at)[1]);
  }
  CHECK(read.count("PERREV_RULES") == 1);
  CHECK(read.count("XDG_DATA_DIRS") == 1);
  for (const std::string& one : read) {
    INFO(one);
    CHECK(part.find(one) != std::string::npos);
  }
}

TEST_CASE("bash offers the options and commands of --help, all of them and no others") {
  std::vector<std::string> lines;
  for (const auto& [words, help] : all_help()) {
    lines.push_back(line_of(words) + " --");
    lines.push_back(line_of(words) + " ''");
  }
  const auto offered = completed(lines);
  std::size_t at = 0;
  for (const auto& [words, help] : all_help()) {
    INFO(lines[at]);
    std::set<std::string> options;
    for (const auto& [name, option] : help.options) options.insert(name);
    CHECK(offered[at++] == options);
    std::set<std::string> due(help.commands.begin(), help.commands.end());
    if (help.commands.empty() && !help.arguments.empty()) {
      bool file = false, folder = false;
      for (const auto& [name, argument] : help.arguments) {
        file = file || argument.kind == "FILE";
        folder = folder || argument.kind == "FOLDER";
      }
      if (file && !folder) due = {"paths=default"};
      if (folder && !file) due = {"paths=dirnames"};
    }
    CHECK(offered[at++] == due);
  }
}

TEST_CASE("bash offers what each option takes: its choices, files, folders, or nothing") {
  std::vector<std::string> lines;
  std::vector<std::set<std::string>> due;
  for (const auto& [words, help] : all_help())
    for (const auto& [name, option] : help.options) {
      if (option.kind.empty()) continue;
      lines.push_back(line_of(words) + " " + name + " ''");
      due.emplace_back(option.choices.begin(), option.choices.end());
      if (option.kind == "FILE") due.back() = {"paths=default"};
      if (option.kind == "FOLDER") due.back() = {"paths=dirnames"};
    }
  CHECK(lines.size() > 100);
  const auto offered = completed(lines);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    INFO(lines[i]);
    CHECK(offered[i] == due[i]);
  }
}

TEST_CASE("bash completes what is begun, behind an equals sign and behind other options too") {
  const auto offered = completed({"perrev di", "perrev rules che", "perrev diagnose --units = m",
                                  "perrev diagnose --units =", "perrev diagnose a.json --units u",
                                  "perrev bay --nothing", "perrev rules new ca"});
  using Set = std::set<std::string>;
  CHECK(offered[0] == Set{"diagnose"});
  CHECK(offered[1] == Set{"check"});
  CHECK(offered[2] == Set{"metric"});
  CHECK(offered[3] == Set{"us", "metric"});
  CHECK(offered[4] == Set{"us"});
  CHECK(offered[5] == Set{});
  CHECK(offered[6] == Set{"cause"});
}

TEST_CASE("zsh is told every command, option and choice") {
  const std::string script = made("_perrev");
  for (const auto& [words, help] : all_help()) {
    std::string function = "_" + line_of(words);
    for (char& c : function)
      if (c == ' ' || c == '-') c = '_';
    INFO(function);
    const std::size_t begin = script.find("\n" + function + "() {\n");
    REQUIRE(begin != std::string::npos);
    const std::string part = script.substr(begin, script.find("\n}\n", begin) - begin);
    for (const std::string& one : help.commands)
      CHECK(part.find("'" + one + ":") != std::string::npos);
    for (const auto& [name, option] : help.options) {
      INFO(name);
      CHECK(part.find(name + (option.kind.empty() ? "[" : "=[")) != std::string::npos);
      std::string choices;
      for (const std::string& one : option.choices) choices += (choices.empty() ? "" : " ") + one;
      if (!choices.empty()) CHECK(part.find(":(" + choices + ")'") != std::string::npos);
    }
  }
}

TEST_CASE("what an option says of a file or a folder, its kind says too") {
  for (const auto& [words, help] : all_help()) {
    INFO(line_of(words));
    for (const char* name : {"--rules", "--cases", "--to"})
      if (help.options.count(name)) CHECK(help.options.at(name).kind == "FOLDER");
    for (const char* name : {"--case", "--shop", "--store", "--plot", "--html", "--junit"})
      if (help.options.count(name)) CHECK(help.options.at(name).kind == "FILE");
    for (const char* name : {"CASE", "FILE"})
      if (help.arguments.count(name) && words != Words{"store", "export"})
        CHECK(help.arguments.at(name).kind == "FILE");
  }
}
