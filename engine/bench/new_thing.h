// A new fact, cause, repair, rule, check or edge as text to be put into the files of a rule base.
//
// Text in, insertions out: what stands in the files stays as it is, and the new lines are indented
// as their neighbours are. Where the files are written in a way that this cannot follow, `kept`
// tells it, so nothing is ever written that reads otherwise than it was meant.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/bench/insertion.h"
#include "engine/knowledge/load.h"
#include "engine/knowledge/record.h"

namespace perrev {

enum class NewKind {
  fact,
  cause,
  repair,
  rule,
  check,
  edge,    // of the path; has no id
  curing,  // one more cause in `cures` of a repair that is there: `id` is the repair, the only
           // field is `cures`
};
std::string_view name_of(NewKind kind);
const FieldTable& fields_of(NewKind kind);

struct NewThing {
  NewKind kind = NewKind::fact;
  std::string id;
  YamlNode fields;    // a mapping: keys of fields_of(kind) in the order in which they are written
  std::string file;   // empty: file_for
  std::string below;  // id of the entry under which it is written; empty: beside its kin
};

// Where a thing goes unless it says so itself: a cause to the file of its family, a rule to the
// file in which most is said about the facts that it reads, else about the like.
std::string file_for(const NewThing& thing, const std::vector<ParsedFile>& files);

// Every tree of `files` is sound. All places are in the files as they are.
Result<std::vector<Insertion>, Problems> insertions_for(const std::vector<NewThing>& things,
                                                        const std::vector<ParsedFile>& files);

// Whether the tree of a file with the insertions says what it said before, and `things` besides.
// `before` is a null node for a file that was not there.
bool kept(std::string_view file, const YamlNode& before, const YamlNode& after,
          const std::vector<NewThing>& things, const std::vector<ParsedFile>& files);

}  // namespace perrev
