// JSON Schemas of the files of a rule base, so that an editor completes and checks them.
//
// They are made from what loading itself goes by: the files (knowledge/rule_files.h), the tables of
// their fields (knowledge/fields.h) and, for names, the loaded rule base. One schema a kind of file
// says which keys there are; `names.schema.json`, which they refer to, says which facts, answers,
// causes, strengths and so on this rule base has, and is the only one that changes with it.
//
// They are of draft-07: every YAML language server knows it, newer drafts came to them late (from
// memory). Words are of YAML 1.2, where yes and no are text. A schema sees one file at a time: what
// hangs on other places (sums, circles, an id given twice) is for loading to refuse.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

struct SchemaFile {
  std::string name;  // "facts.schema.json"
  std::string text;
};

std::vector<SchemaFile> schemas_of(const RuleBase& base);

}  // namespace perrev
