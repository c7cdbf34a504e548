// Where in the files a thing of a rule base was written: places finer than a RuleBase keeps.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev {

class Written {
 public:
  // Both must outlive this; every tree is sound.
  Written(const RuleBase& base, const std::vector<ParsedFile>& files);

  const RuleBase& base() const { return base_; }
  // The mapping of a rule, null where it is not to be found.
  const YamlNode* rule(const Rule& rule) const;
  // As the rule base calls it ("evidence/road.yaml"); empty where the rule is not to be found.
  const std::string& file_of(const Rule& rule) const;
  // Of a key of a rule ("when"), else of the rule.
  Place in_rule(const Rule& rule, std::string_view key) const;
  // The value of a cause's key and the file, as the rule base calls it; null where it is not found.
  std::pair<const YamlNode*, std::string> in_cause(const Cause& cause, std::string_view key) const;
  // Of an entry in a file of mappings, under a key of it or ("") at the top; else of no line.
  Place entry(std::string_view file, std::string_view key, std::string_view id) const;

 private:
  const RuleBase& base_;
  const std::vector<ParsedFile>& files_;
  struct RuleText {
    const YamlNode* node = nullptr;
    const std::string* file = nullptr;
  };
  std::map<std::string, RuleText, std::less<>> rules_;
};

}  // namespace perrev
