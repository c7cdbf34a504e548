// Parsed rule files kept in the user's cache folder, so that the same rule base is parsed once and
// not at every start: parsing is most of what a start costs.
//
// Kept under the digest of all names and texts and the version of the program, so a changed file is
// never met by an old tree; whatever does not read back whole and unchanged is ignored. The folder
// is $XDG_CACHE_HOME/perrev, else $HOME/.cache/perrev; with neither, or with PERREV_CACHE=off,
// nothing is kept.
#pragma once

#include <optional>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev {

// Trees in the order of `files`, if all of them were kept.
std::optional<std::vector<YamlNode>> kept_trees(const std::vector<SourceFile>& files);

// Best effort: an error keeps nothing and says nothing. The newest few rule bases stay.
void keep_trees(const std::vector<ParsedFile>& files);

}  // namespace perrev
