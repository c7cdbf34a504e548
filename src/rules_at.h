// The texts of a rule base by a name: a folder, or a revision of the git repository that holds the
// working rule base. A revision is read from the repository alone: no file of the working tree is
// touched or looked at.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev {

struct RulesAt {
  std::string name;    // as it was asked for
  std::string commit;  // its id, 40 hex digits; empty for a folder
  std::vector<SourceFile> files;
};

// A folder of that name wins; else the name is REV (a branch, a tag, a commit, HEAD~2) for the
// folder that stands in it where `folder` stands now, or REV:FOLDER for another one, told from the
// top of the repository.
Result<RulesAt, Problems> rules_at(const std::string& name, const std::string& folder);

}  // namespace perrev
