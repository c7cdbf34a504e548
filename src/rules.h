// The rule base from a folder on disk: found, read and parsed, several files at a time.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev {

// The program that runs, links followed; empty where the system does not tell.
std::string this_program();

// Where a rule base is looked for that nobody named, the first first: `rules` beside the program,
// which is how a build has its own; the user's data folder; what was installed with the program;
// the data folders of the machine.
std::vector<std::string> rules_places(const std::string& program);

// The folder that was asked for; else PERREV_RULES of the environment; else the first of the places
// that is a folder, links followed. Where there is none, the place to install it to: it is a path
// that cannot be opened, which loading tells.
std::string rules_folder(const std::string& asked, const std::string& program = this_program());

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
