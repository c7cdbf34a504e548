// What the bench says of a rule base that loads: values with a place, for a person or an editor.
//
// An error is surely wrong; a note is a weakness that a trainer may have meant. Ids are stable: a
// shop may count them or leave one out. `finding_kinds` is the one truth about them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/result.h"

namespace perrev {

enum class Level { error, note };

std::string_view name_of(Level level);

struct FindingKind {
  std::string_view id;
  Level level;
  std::string_view meaning;  // one sentence
  std::string_view advice;   // what to do about it
};
// Sorted by id.
const std::vector<FindingKind>& finding_kinds();

struct Finding {
  std::string id;  // of a kind
  Level level = Level::note;
  Place place;
  std::string what;   // lower case, no full stop
  std::string right;  // what would be right

  // "file:line:column: note: what; right  [id]", on one line.
  std::string text() const;
};

// `id` is one of finding_kinds, which says the level.
Finding finding(std::string_view id, Place place, std::string what, std::string right);

// Problems of loading, as findings of the kind `load-error`.
std::vector<Finding> findings_of(const Problems& problems);

}  // namespace perrev
