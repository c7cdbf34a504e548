// What differs between two rule bases: things added, removed, and changed, field by field.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/rule_things.h"

namespace perrev {

enum class HowChanged { added, removed, changed };
std::string name_of(HowChanged how);

// One field of a thing: what was said there before, and after. Empty: nothing.
struct FieldChange {
  std::string field;  // RuleValue::name
  bool is_list = false;
  std::vector<std::string> before, after;
};

struct RuleChange {
  HowChanged how = HowChanged::changed;
  std::string kind, id, title;
  // Of an added thing: the removed one of its kind that says most of the same, if one does, and the
  // other way round.
  std::string perhaps;
  std::vector<FieldChange> fields;  // all that it says, where it was added or removed
};

// By kind, in the order of the files of a rule base, then by id. The other way round it says the
// same, with added and removed, before and after exchanged.
std::vector<RuleChange> rule_changes(const std::vector<RuleThing>& before,
                                     const std::vector<RuleThing>& after);

}  // namespace perrev
