#include "engine/knowledge/yaml_tree.h"

namespace perrev {

const YamlNode* YamlNode::find(std::string_view key) const {
  for (const YamlMember& member : members)
    if (member.key == key) return &member.value;
  return nullptr;
}

}  // namespace perrev
