// The reference cases in a folder: found, read and tested on all cores.
#pragma once

#include <string>
#include <vector>

#include "engine/bench/case_change.h"

namespace perrev {

struct CasePath {
  std::string name;  // of the file, without .json
  std::string path;
};

// The folder that was asked for; else `cases` beside that of the rule base.
std::string cases_folder(const std::string& rules, const std::string& asked);

// Every .json file of the folder itself, by name; of `only` (names, or paths for their names) where
// it is not empty. A name that is not there is a problem.
Result<std::vector<CasePath>, Problems> case_paths(const std::string& folder,
                                                   const std::vector<std::string>& only = {});

struct ReferenceCase {
  CaseFile file;
  CaseFacts facts;
  Expectation expected;
};
Result<ReferenceCase, Problems> read_reference(const std::string& path, const RuleBase& base);

// In the order of `paths`.
std::vector<TestedCase> test_cases(const Planner& planner, const std::vector<CasePath>& paths);

// In the order of `paths`, with reasons.
std::vector<CaseChange> compare_cases(const Planner& before, const Planner& after,
                                      const std::vector<CasePath>& paths);

}  // namespace perrev
