// Commands as they stand in the pages of docs/, taken apart to be run.
#pragma once

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

namespace perrev::test {

// Arguments of a command line with double quotes.
inline std::vector<std::string> words_of(const std::string& line) {
  std::vector<std::string> out;
  bool inside = false, open = false;
  for (const char c : line) {
    if (c == '"') {
      inside = !inside;
      if (inside && !open) out.emplace_back();
      open = true;
    } else if (c == ' ' && !inside) {
      open = false;
    } else {
      if (!open) out.emplace_back();
      open = true;
      out.back() += c;
    }
  }
  return out;
}

// "bay runout ..." of a page such as docs/bay.md.
inline std::vector<std::string> commands_of_page(const std::string& name,
                                                 const std::string& command) {
  const std::string begin = "    perrev " + command + " ";
  std::vector<std::string> out;
  std::istringstream page(read_whole(project(name)));
  for (std::string line; std::getline(page, line);)
    if (line.rfind(begin, 0) == 0) out.push_back(command + " " + line.substr(begin.size()));
  return out;
}

// In characters.
inline std::size_t longest_line(const std::string& text) {
  std::size_t out = 0, width = 0;
  for (const char c : text) {
    if ((static_cast<unsigned char>(c) & 0xC0) != 0x80) ++width;  // characters, not bytes
    if (c == '\n') width = 0;
    out = std::max(out, width);
  }
  return out;
}

}  // namespace perrev::test
