// Entries of `for` and `against` that never apply: within a rule the particular name wins, and here
// every cause of a family has one.
#include <set>

#include "engine/bench/findings_passes.h"

namespace perrev {

void find_hidden_entries(const Written& written, Findings& out) {
  const RuleBase& base = written.base();
  for (const Rule& rule : base.rules) {
    const YamlNode* node = written.rule(rule);
    if (!node) continue;
    std::set<std::string> named_itself;
    for (const char* key : {"for", "against"})
      if (const YamlNode* entries = node->find(key))
        for (const YamlMember& member : entries->members) named_itself.insert(member.key);
    for (const char* key : {"for", "against"}) {
      const YamlNode* entries = node->find(key);
      if (!entries) continue;
      for (const YamlMember& member : entries->members) {
        bool is_family = false, applies = false;
        for (std::size_t c = 0; c < base.causes.size(); ++c)
          if (base.families[at(base.causes[c].family)].id == member.key) {
            is_family = true;
            applies = applies || (named_itself.count(base.causes[c].id) == 0 &&
                                  effect_on(rule, static_cast<int>(c)));
          }
        if (!is_family || applies) continue;
        out.push_back(finding("hidden-entry", {rule.place.file, member.line, member.column, {}},
                              "rule '" + rule.id + "' names every cause of '" + member.key +
                                  "' itself, so the family's strength never applies",
                              "leave the family out"));
      }
    }
  }
}

}  // namespace perrev
