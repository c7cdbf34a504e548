// In which file of a rule base a new thing belongs.
#include <algorithm>
#include <map>
#include <set>

#include "engine/bench/new_text.h"
#include "engine/bench/new_thing.h"
#include "engine/bench/yaml_write.h"
#include "engine/knowledge/rule_files.h"

namespace perrev {

namespace {

void collect_words(const YamlNode& node, std::set<std::string>& out) {
  for (const YamlNode& item : node.items) collect_words(item, out);
  for (const YamlMember& member : node.members) {
    out.insert(member.key);
    collect_words(member.value, out);
  }
}

// The keys anywhere below `key`: facts of `when`, causes of `for`.
std::set<std::string> words_below(const YamlNode& mapping, std::string_view key) {
  std::set<std::string> out;
  if (const YamlNode* node = mapping.find(key)) collect_words(*node, out);
  return out;
}

// The evidence file with most rules that read one of these facts; empty where none does.
std::string most_said(const std::vector<ParsedFile>& files, const std::set<std::string>& facts) {
  std::map<std::string, int> counts;
  for (const ParsedFile& file : files) {
    if (file.source.name.rfind(kEvidence, 0) != 0) continue;
    for (const YamlNode& rule : file.tree->items)
      for (const std::string& word : words_below(rule, "when"))
        if (facts.count(word)) ++counts[file.source.name];
  }
  std::string best;
  for (const auto& [name, count] : counts)
    if (best.empty() || count > counts[best]) best = name;
  return best;
}

std::string file_of_family(const std::vector<ParsedFile>& files, const std::string& family) {
  std::string best;
  std::ptrdiff_t most = 0;
  for (const ParsedFile& file : files) {
    if (file.source.name.rfind(kCauses, 0) != 0) continue;
    const std::vector<YamlMember>& all = file.tree->members;
    const auto count = std::count_if(all.begin(), all.end(), [&](const YamlMember& cause) {
      return family_of(cause.value) == family;
    });
    if (count > most || (count == most && count > 0 && file.source.name < best)) {
      best = file.source.name;
      most = count;
    }
  }
  return best.empty() ? std::string(kCauses) + family + ".yaml" : best;
}

bool names_one_of(const std::set<std::string>& words, const std::set<std::string>& of) {
  return std::any_of(of.begin(), of.end(),
                     [&](const std::string& word) { return words.count(word); });
}

// Causes of the families of these causes, and the families.
std::set<std::string> kin_of(const std::vector<ParsedFile>& files,
                             const std::set<std::string>& causes) {
  std::set<std::string> families, out;
  const auto each_cause = [&](const auto& visit) {
    for (const ParsedFile& file : files)
      if (file.source.name.rfind(kCauses, 0) == 0)
        for (const YamlMember& cause : file.tree->members) visit(cause);
  };
  each_cause([&](const YamlMember& cause) {
    if (causes.count(cause.key)) families.insert(family_of(cause.value));
  });
  out = families;
  each_cause([&](const YamlMember& cause) {
    if (families.count(family_of(cause.value))) out.insert(cause.key);
  });
  return out;
}

// Facts that are asked where these are.
std::set<std::string> asked_beside(const std::vector<ParsedFile>& files,
                                   const std::set<std::string>& facts) {
  std::set<std::string> out;
  const ParsedFile* file = file_named(files, "facts.yaml");
  if (!file) return out;
  for (const YamlMember& one : file->tree->members) {
    const YamlNode* where = one.value.find("asked_at");
    if (!where || !facts.count(one.key)) continue;
    for (const YamlMember& other : file->tree->members)
      if (const YamlNode* there = other.value.find("asked_at"); there && same_value(*where, *there))
        out.insert(other.key);
  }
  return out;
}

// The file of evidence that most often has rules like this one: of a fact asked at the same place,
// about a cause of the same family.
std::string file_of_like(const std::vector<ParsedFile>& files, const YamlNode& rule) {
  const std::set<std::string> facts = asked_beside(files, words_below(rule, "when"));
  std::set<std::string> causes = words_below(rule, "for");
  causes.merge(words_below(rule, "against"));
  const std::set<std::string> kin = kin_of(files, causes);
  std::string best, first;
  std::ptrdiff_t most = 0;
  for (const ParsedFile& file : files) {
    const std::string& name = file.source.name;
    if (name.rfind(kEvidence, 0) != 0) continue;
    if (first.empty() || name < first) first = name;
    const std::vector<YamlNode>& all = file.tree->items;
    const auto count = std::count_if(all.begin(), all.end(), [&](const YamlNode& other) {
      return names_one_of(words_below(other, "when"), facts) &&
             (names_one_of(words_below(other, "for"), kin) ||
              names_one_of(words_below(other, "against"), kin));
    });
    if (count > most || (count == most && count > 0 && name < best)) {
      best = name;
      most = count;
    }
  }
  if (!best.empty()) return best;
  return first.empty() ? std::string(kEvidence) + "rules.yaml" : first;
}

std::string file_of_rule(const std::vector<ParsedFile>& files, const YamlNode& rule) {
  const std::string best = most_said(files, words_below(rule, "when"));
  return best.empty() ? file_of_like(files, rule) : best;
}

}  // namespace

std::string file_for(const NewThing& thing, const std::vector<ParsedFile>& files) {
  if (!thing.file.empty()) return thing.file;
  switch (thing.kind) {
    case NewKind::fact:
      return "facts.yaml";
    case NewKind::repair:
    case NewKind::curing:
      return "repairs.yaml";
    case NewKind::check:
      return "checks.yaml";
    case NewKind::edge:
      return "path.yaml";
    case NewKind::cause:
      return file_of_family(files, family_of(thing.fields));
    case NewKind::rule:
      return file_of_rule(files, thing.fields);
  }
  return {};
}

}  // namespace perrev
