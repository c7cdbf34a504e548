// A value of a rule file in words, and what it means however it is written. The inside of
// rule_things.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/knowledge/yaml_tree.h"

namespace perrev {

struct Said {
  std::vector<std::string> shown;  // sorted by `meant`
  std::vector<std::string> meant;
  bool is_list = false;
};

// Numbers, quantities and ranges to the last digit, whatever their unit; blanks as one.
std::string meant_by(std::string_view text);

// A scalar or a list, in which order means nothing; a mapping in it in one line.
Said said_list(const YamlNode& node);

// In the words of facts and answers; the order of its parts means nothing.
Said said_condition(const RuleBase& base, const YamlNode& node);

}  // namespace perrev
