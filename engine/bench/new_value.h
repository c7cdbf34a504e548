// What a trainer says for one field of a new thing, read into the value that the file will hold.
//
// The same words serve at a prompt and as options. Several are given one after the other:
//     ids           "front_wheel, rear_wheel"
//     mappings      "torn: It is torn" (answers), "torn: 0.04" (base), "my_cause: strong" (for)
//     conditions    "exhaust_hanger: torn, missing"; several pairs must hold together
//     confirms      "my_cause: exhaust_hanger: torn"
//     shakes        "engine: 2", "tire: 1: 0.8" (its share)
// Text in brackets ("{any: [...]}", "[a, b]") stands for the value itself, written as in the files.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/new_thing.h"
#include "engine/knowledge/rule_base.h"

namespace perrev {

// A name or a word that may stand in a field, and what it means.
struct KnownWord {
  std::string id;
  std::string words;
};

// What may stand in the field, or as keys of its mapping; empty where that is free.
std::vector<KnownWord> known_words(const Field& field, const RuleBase& base);

// A problem names the first thing that is wrong and the near word. Whether the whole loads is for
// loading to say: a condition in brackets is only taken apart here.
Result<YamlNode> read_field(const Field& field, const std::vector<std::string>& said,
                            const RuleBase& base);

}  // namespace perrev
