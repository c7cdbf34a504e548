// A parsed YAML file as a plain tree with positions. Every scalar stays text: `no`, `010` and
// `.nan` mean nothing here.
#pragma once

#include <string>
#include <string_view>
#include <vector>

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

// What a tree may be: parsing and reading back refuse more.
inline constexpr std::size_t kLargestText = 8u << 20;  // bytes of its file
inline constexpr int kDeepest = 50;

}  // namespace perrev
