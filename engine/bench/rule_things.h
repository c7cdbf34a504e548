// What a rule base says, as named values of named things: what two rule bases are compared by.
//
// Made from the parsed trees by the tables of their fields (knowledge/fields.h) alone, so a field
// that is added there is compared too. How it is written means nothing: the order of entries, of
// keys and of lists, which file of a folder a thing stands in, comments, blanks, the unit of a
// quantity; the order of a flow chart's steps does.
#pragma once

#include <map>
#include <string>
#include <utility>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev {

struct RuleValue {
  std::string name;  // "usual", "base of seat"; empty where the thing is one value
  bool is_list = false;
  std::vector<std::string> shown;  // for people, sorted by `meant`; one unless it is a list
  std::vector<std::string> meant;  // the same, written alike
};

struct RuleThing {
  std::string kind;  // "fact", "rule", "edge", "setting"
  std::string id;
  bool has_id = true;  // else `id` is what it begins with, and may change
  std::string title;   // the first words that it has for people; may be empty
  // In the order of the table of fields, then by name.
  std::map<std::pair<std::size_t, std::string>, RuleValue> values;
};

// In no order of meaning. The files are those that `base` was built from.
std::vector<RuleThing> things_of(const RuleBase& base, const std::vector<ParsedFile>& files);

}  // namespace perrev
