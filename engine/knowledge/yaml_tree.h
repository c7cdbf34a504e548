// YAML text to a plain tree with positions: the only place that touches yaml-cpp.
//
// What is accepted is the part of YAML that rule files need: one document of mappings, sequences
// and scalars. Refused, each with its place: anchors, aliases, tags, duplicate keys, keys that are
// not scalars, more than one document, nesting beyond kDeepest, text beyond kLargestText, NUL and
// other control characters, a byte order mark, text that is not UTF-8. Every scalar stays text:
// `no`, `010` and
// `.nan` mean nothing here. Time and memory are bounded by the size of the text.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "engine/result.h"

namespace perrev {

struct YamlMember;

struct YamlNode {
  enum class Kind { null, scalar, sequence, mapping };
  Kind kind = Kind::null;
  int line = 0;  // from 1
  int column = 0;
  std::string scalar;
  std::vector<YamlNode> items;      // of a sequence
  std::vector<YamlMember> members;  // of a mapping, in file order

  const YamlNode* find(std::string_view key) const;
};

struct YamlMember {
  std::string key;
  int line = 0;
  int column = 0;
  YamlNode value;
};

inline constexpr std::size_t kLargestText = 8u << 20;
inline constexpr int kDeepest = 50;

// `shown` is the file's name in problems.
Result<YamlNode, Problems> parse_yaml(const std::string& shown, const std::string& text);

// What is wrong with the bytes themselves (UTF-8, control characters, size), if anything.
Problems check_text(const std::string& shown, const std::string& text);

// Line `line` (from 1) of the text, cut to what a terminal shows; empty beyond its end.
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
