// A whole rule base as bytes, parsed but not built: what a page loads, which has no YAML parser.
//
// Left out is what only messages about files need: texts, columns, the names shown of files, and
// all lines but those where facts, causes, rules, checks, repairs, gates, edges and faults begin. A
// rule base built from the bytes has the digest, the indices and the content of the one built from
// the texts. Bytes that are not exactly what `rule_bytes` made are refused, and whatever has the
// right form is checked as rule files are, in time and memory bounded by its size.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev {

// `base` was built of `files`.
std::string rule_bytes(const std::vector<ParsedFile>& files, const RuleBase& base);

Result<RuleBase, Problems> rule_base_from(std::string_view bytes);

}  // namespace perrev
