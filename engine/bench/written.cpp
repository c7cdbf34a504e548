#include "engine/bench/written.h"

#include "engine/knowledge/rule_files.h"

namespace perrev {

Written::Written(const RuleBase& base, const std::vector<ParsedFile>& files)
    : base_(base), files_(files) {
  for (const ParsedFile& file : files) {
    if (!file.tree.ok() || file.source.name.rfind("evidence/", 0) != 0) continue;
    for (const YamlNode& item : file.tree->items)
      if (const YamlNode* id = item.find("rule"))
        rules_.emplace(id->scalar, RuleText{&item, &file.source.name});
  }
}

const YamlNode* Written::rule(const Rule& rule) const {
  const auto found = rules_.find(rule.id);
  return found == rules_.end() ? nullptr : found->second.node;
}

const std::string& Written::file_of(const Rule& rule) const {
  static const std::string none;
  const auto found = rules_.find(rule.id);
  return found == rules_.end() ? none : *found->second.file;
}

Place Written::in_rule(const Rule& rule, std::string_view key) const {
  const YamlNode* node = this->rule(rule);
  if (node)
    for (const YamlMember& member : node->members)
      if (member.key == key) return {rule.place.file, member.line, member.column, {}};
  return rule.place;
}

std::pair<const YamlNode*, std::string> Written::in_cause(const Cause& cause,
                                                          std::string_view key) const {
  for (const ParsedFile& file : files_) {
    if (!file.tree.ok() || file.source.name.rfind(kCauses, 0) != 0) continue;
    const YamlNode* found = file.tree->find(cause.id);
    if (found) found = found->find(key);
    if (found) return {found, file.source.name};
  }
  return {nullptr, {}};
}

Place Written::entry(std::string_view file, std::string_view key, std::string_view id) const {
  for (const ParsedFile& each : files_) {
    if (each.source.name != file || !each.tree.ok()) continue;
    const YamlNode* node = key.empty() ? &each.tree.value() : each.tree->find(key);
    if (node)
      for (const YamlMember& member : node->members)
        if (member.key == id) return {each.source.shown, member.line, member.column, {}};
    return {each.source.shown, 0, 0, {}};
  }
  return {};
}

}  // namespace perrev
