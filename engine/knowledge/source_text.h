// The text of a file as bytes and lines: whether it is clean UTF-8, and its lines for messages.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/yaml_tree.h"
#include "engine/result.h"

namespace perrev {

// A control character (Unicode category Cc) other than tab and line feed.
bool is_control(std::string_view text, std::size_t at);

// What is wrong with the bytes themselves (UTF-8, control characters, size), if anything.
Problems check_text(const std::string& shown, const std::string& text);

// Line `line` (from 1) of the text as it is, or no more of it than can be shown; empty beyond its
// end.
std::string_view raw_line(std::string_view text, int line);

// The same, cut to what a terminal shows.
std::string source_line(std::string_view text, int line);

// The lines of one text, found once: for many problems in a large file. The text must outlive it.
class SourceLines {
 public:
  explicit SourceLines(std::string_view text);
  std::string at(int line) const;  // as source_line

 private:
  std::string_view text_;
  std::vector<std::size_t> starts_;
};

// Text from a file as one line of a message: cut at 60 bytes, blanks for what is no letter.
std::string short_text(std::string_view text);

}  // namespace perrev
