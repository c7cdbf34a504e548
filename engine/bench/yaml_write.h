// Values written as the YAML of rule files is: on one line, lists and mappings in brackets, quotes
// only where they are needed. What is written reads back as what was given, byte for byte.
//
// The values have no line end and no other control character but the tab.
#pragma once

#include <string>

#include "engine/knowledge/yaml_tree.h"

namespace perrev {

// Words and numbers of the format stand as they are: `yes`, `0.05`. Prose is quoted where another
// reader of YAML would take it for a number or a yes or no.
enum class Spelling { format, prose };

// `in_brackets` is true within a list or mapping that stands in brackets.
std::string yaml_scalar(const std::string& text, Spelling spelling, bool in_brackets = false);
std::string yaml_value(const YamlNode& value, Spelling spelling);

// Nodes without a place.
YamlNode scalar_node(std::string text);
YamlNode list_node(const std::vector<std::string>& items);
// Adds a member at the end.
void put(YamlNode& mapping, std::string key, YamlNode value);

// The same kinds, keys, texts and order; places do not count.
bool same_value(const YamlNode& a, const YamlNode& b);

}  // namespace perrev
