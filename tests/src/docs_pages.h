// The pages of docs/, README.md and DEVELOPERS.md, taken apart: commands with what is shown of
// their output, links, code spans.
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace perrev::test {

class Folder;

std::vector<std::string> lines_of(const std::string& text);

// Below the project's folder, sorted: README.md, DEVELOPERS.md, docs/*.md.
std::vector<std::string> pages();

struct PageCommand {
  std::string line;  // as it goes to a shell
  std::string shown;
  bool is_shown = false;  // whether the page shows what comes back
};
// Of every code block that is one of commands: in one with `$ ` what stands under a command is what
// it prints; in any other each line is a command.
std::vector<PageCommand> commands_of(const std::string& page);
// Code blocks, each as one text.
std::vector<std::string> blocks_in(const std::string& page);
// The first word is a program's.
bool is_command(const std::string& line);

struct PageLink {
  std::string target, anchor;
  bool is_picture = false;
};
std::vector<PageLink> links_of(const std::string& page);
// Names under which headings can be linked.
std::vector<std::string> anchors_of(const std::string& page);
// What stands between single backticks outside of code blocks.
std::vector<std::string> spans_of(const std::string& page);

// What came, held against what is shown; `...` stands for anything.
bool matches(const std::string& came, const std::string& shown);

// One shell in the folder for all lines, as a person's terminal is; what each printed, and how it
// ended.
std::vector<std::pair<std::string, int>> run_all(const Folder& folder,
                                                 const std::vector<std::string>& lines);

}  // namespace perrev::test
