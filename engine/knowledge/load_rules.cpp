#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"

namespace perrev {

void Loader::evidence(const FileReader& reader, const YamlNode& root) {
  if (root.kind != YamlNode::Kind::sequence)
    return reader.fault(root, "expected a list of rules", "- rule: rule_id");
  for (const YamlNode& item : root.items) rule(reader, item);
}

void Loader::rule(const FileReader& reader, const YamlNode& node) {
  const YamlNode* name = node.find("rule");
  const std::string subject = name ? "rule '" + name->scalar.substr(0, 60) + "'" : "rule";
  const Record record(reader, node, rule_fields(), subject, node.line, node.column);
  if (!record.has("rule")) return;
  Rule made;
  made.id = record.text("rule");
  made.place = reader.place(node.line, node.column);
  if (!rule_by_id_.emplace(made.id, static_cast<int>(base.rules.size())).second)
    return reader.fault(record.word("rule"), "rule '" + made.id + "' is defined twice", "keep one");
  made.because = record.text("because");
  made.origin = record.text("origin");
  if (const YamlNode* when = record.node("when")) made.when = condition(reader, *when);
  std::map<int, std::pair<Rule::Effect, bool>> found;
  if (const YamlNode* in_favour = record.node("for"))
    effects(reader, *in_favour, true, made, found);
  if (const YamlNode* against = record.node("against"))
    effects(reader, *against, false, made, found);
  if (!record.has("for") && !record.has("against"))
    reader.fault(node, subject + " says nothing", "for: {cause: strength} or against: {...}");
  for (auto& entry : found) made.effects.push_back(std::move(entry.second.first));
  base.rules.push_back(std::move(made));
}

// Within a rule the most particular name wins: `found` keeps whether a cause was named itself.
void Loader::effects(const FileReader& reader, const YamlNode& node, bool in_favour, Rule& made,
                     std::map<int, std::pair<Rule::Effect, bool>>& found) {
  if (node.kind != YamlNode::Kind::mapping || node.members.empty())
    return reader.fault(node, "expected causes and strengths", "{cause: strong}");
  for (const YamlMember& member : node.members) {
    const Word word{member.key, member.line, member.column};
    const auto strength =
        std::find_if(strengths_.begin(), strengths_.end(),
                     [&](const Strength& s) { return s.word == member.value.scalar; });
    if (strength == strengths_.end()) {
      if (others_complete) {
        std::vector<std::string> words;
        for (const Strength& s : strengths_) words.push_back(s.word);
        reader.unknown(Word{member.value.scalar, member.value.line, member.value.column},
                       "strength", words);
      }
      continue;
    }
    const double log_ratio = in_favour ? std::log(strength->ratio) : -std::log(strength->ratio);
    const auto family = family_by_id_.find(member.key);
    std::vector<int> meant;
    const bool itself = family == family_by_id_.end();
    if (!itself) {
      for (std::size_t c = 0; c < base.causes.size(); ++c)
        if (base.causes[c].family == family->second) meant.push_back(static_cast<int>(c));
    } else if (member.key == "nothing_left") {
      meant.push_back(base.nothing_left());
    } else {
      const int cause = known(reader, word, "cause or family", base.cause_by_id, causes_complete);
      if (cause >= 0) meant.push_back(cause);
    }
    for (const int cause : meant) {
      const auto earlier = found.find(cause);
      if (earlier != found.end() && earlier->second.second == itself) {
        reader.fault(word, "rule '" + made.id + "' speaks twice about '" + member.key + "'",
                     "either for or against");
        break;
      }
      if (earlier == found.end() || itself)
        found[cause] = {Rule::Effect{cause, log_ratio, strength->word}, itself};
    }
  }
}

}  // namespace perrev
