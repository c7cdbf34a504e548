// YAML text to a plain tree with positions: the only place that touches yaml-cpp, and no part of
// the engine in the page, which gets its trees parsed.
//
// What is accepted is the part of YAML that rule files need: one document of mappings, sequences
// and scalars. Refused, each with its place: anchors, aliases, tags, duplicate keys, keys that are
// not scalars, more than one document, nesting beyond kDeepest, text beyond kLargestText, NUL and
// other control characters, a byte order mark, text that is not UTF-8. Time and memory are bounded
// by the size of the text.
#pragma once

#include <string>

#include "engine/knowledge/yaml_tree.h"
#include "engine/result.h"

namespace perrev {

// `shown` is the file's name in problems.
Result<YamlNode, Problems> parse_yaml(const std::string& shown, const std::string& text);

}  // namespace perrev
