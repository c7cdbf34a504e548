// The rule base from a folder on disk: found, read and parsed, several files at a time.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev {

// The folder that was asked for; else PERREV_RULES of the environment; else where the program was
// built.
std::string rules_folder(const std::string& asked);

// Files that stand for those of the folder: name in the rule base ("shop.yaml") and path.
using OtherFiles = std::map<std::string, std::string>;

// The texts of the folder, not parsed.
Result<std::vector<SourceFile>, Problems> rule_texts(const std::string& folder,
                                                     const OtherFiles& others = {});

// Several at a time, or the trees that an earlier start kept; in no fixed order.
std::vector<ParsedFile> parsed_files(std::vector<SourceFile> files);

// Every file that could be read, whether or not it could be parsed.
Result<std::vector<ParsedFile>, Problems> parsed_rules(const std::string& folder,
                                                       const OtherFiles& others = {});

Result<RuleBase, Problems> load_rules(const std::string& folder, const OtherFiles& others = {});

}  // namespace perrev
