// A YAML tree as one line of text, and its size: what tests compare.
#pragma once

#include <algorithm>
#include <string>

#include "engine/knowledge/yaml_tree.h"

namespace perrev::small {

// {a='1', b=['x', ~]}
inline std::string shown(const YamlNode& node) {
  std::string out;
  switch (node.kind) {
    case YamlNode::Kind::null:
      return "~";
    case YamlNode::Kind::scalar:
      return "'" + node.scalar + "'";
    case YamlNode::Kind::sequence:
      for (const YamlNode& item : node.items) out += (out.empty() ? "" : ", ") + shown(item);
      return "[" + out + "]";
    case YamlNode::Kind::mapping:
      for (const YamlMember& member : node.members)
        out += (out.empty() ? "" : ", ") + member.key + "=" + shown(member.value);
      return "{" + out + "}";
  }
  return out;
}

// Counts the nodes; `depth` is how many mappings and sequences stand inside one another.
struct TreeSize {
  std::size_t nodes = 0;
  int depth = 0;
};

inline TreeSize size_of(const YamlNode& node) {
  TreeSize out{1, 0};
  const auto add = [&](const YamlNode& inner) {
    const TreeSize size = size_of(inner);
    out.nodes += size.nodes;
    out.depth = std::max(out.depth, size.depth);
  };
  for (const YamlNode& item : node.items) add(item);
  for (const YamlMember& member : node.members) add(member.value);
  if (node.kind == YamlNode::Kind::mapping || node.kind == YamlNode::Kind::sequence) ++out.depth;
  return out;
}

}  // namespace perrev::small
