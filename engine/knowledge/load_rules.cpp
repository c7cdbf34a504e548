#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/knowledge/fields.h"
#include "engine/knowledge/loader.h"

namespace perrev {

void Loader::evidence(const FileReader& reader, const YamlNode& root) {
  for (const YamlNode& item : root.items) rule(reader, item);
}

void Loader::rule(const FileReader& reader, const YamlNode& node) {
  const YamlNode* name = node.find("rule");
  const std::string subject = name ? "rule '" + short_text(name->scalar) + "'" : "rule";
  const std::size_t before = problems.size();
  const Record record(reader, node, rule_fields(), subject, node.line, node.column);
  const bool well_formed = problems.size() == before;
  Rule made;
  made.id = record.text("rule");
  made.place = reader.place(node.line, node.column);
  const auto fresh_id = rule_by_id_.emplace(made.id, static_cast<int>(base.rules.size()));
  if (!fresh_id.second && !made.id.empty())
    twice(reader, record.word("rule"), "rule",
          base.rules[static_cast<std::size_t>(fresh_id.first->second)].place);
  made.because = record.text("because");
  made.origin = record.text("origin");
  if (const YamlNode* when = record.node("when")) made.when = condition(reader, *when);
  std::map<int, std::pair<Rule::Effect, bool>> found;
  if (const YamlNode* in_favour = record.node("for"))
    effects(reader, *in_favour, true, made, found);
  if (const YamlNode* against = record.node("against"))
    effects(reader, *against, false, made, found);
  if (well_formed && !record.has("for") && !record.has("against"))
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
    if (strength == strengths_.end() && whole("strengths.yaml")) {
      std::vector<std::string> words;
      for (const Strength& s : strengths_) words.push_back(s.word);
      reader.unknown(Word{member.value.scalar, member.value.line, member.value.column}, "strength",
                     words);
    }
    const auto family = family_by_id_.find(member.key);
    std::vector<int> meant;
    const bool itself = family == family_by_id_.end();
    if (!itself) {
      for (std::size_t c = 0; c < base.causes.size(); ++c)
        if (base.causes[c].family == family->second) meant.push_back(static_cast<int>(c));
    } else if (member.key == "nothing_left") {
      meant.push_back(base.nothing_left());
    } else if (const int cause = base.cause_index(member.key); cause >= 0) {
      meant.push_back(cause);
    } else if (whole("causes/") && whole("families.yaml")) {
      std::vector<std::string> names = {"nothing_left"};
      for (const auto* ids : {&base.cause_by_id, &family_by_id_})
        for (const auto& entry : *ids) names.push_back(entry.first);
      reader.unknown(word, "cause or family", names);
    }
    const bool families_known =
        whole("causes/") && std::all_of(base.causes.begin(), base.causes.end(),
                                        [](const Cause& cause) { return cause.family >= 0; });
    if (meant.empty() && !itself && families_known)
      reader.fault(word, "no cause is of the family '" + member.key + "'", "a family with causes");
    if (strength == strengths_.end()) continue;
    const double log_ratio = in_favour ? std::log(strength->ratio) : -std::log(strength->ratio);
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
