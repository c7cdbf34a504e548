// What a word of the trainer names: a rule, a cause, a fact or a check.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/rule_base.h"

namespace perrev {

enum class NameKind { rule, cause, fact, check };
std::string_view name_of(NameKind kind);

struct NamedThing {
  NameKind kind = NameKind::rule;
  int index = -1;  // into the list of its kind in RuleBase
};

// All that bear the id, in the order of NameKind: a fact and a cause may share one.
std::vector<NamedThing> things_named(const RuleBase& base, std::string_view id);
const std::string& id_of(const RuleBase& base, const NamedThing& thing);
// Everything that can be named.
std::vector<NamedThing> all_things(const RuleBase& base);
std::vector<std::string> all_ids(const RuleBase& base);

}  // namespace perrev
