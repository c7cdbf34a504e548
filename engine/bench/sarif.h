// Findings as SARIF 2.1.0, for editors and code review (OASIS Standard, 27 March 2020,
// https://docs.oasis-open.org/sarif/sarif/v2.1.0/sarif-v2.1.0.html).
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "engine/bench/finding.h"
#include "engine/knowledge/load.h"

namespace perrev {

struct SarifFolder {
  std::string shown;  // the folder of the rule base as the findings name it: "rules", "/a/b/rules"
  std::string version;  // of the program
};

// One log of one run. Files of an absolute folder are named relative to it, with the folder as
// `RULES` of originalUriBaseIds (3.14.14); others as they are. A place counts bytes, a log counts
// code points (3.14.17): `files` are the texts to count in.
nlohmann::ordered_json sarif(const std::vector<Finding>& findings, const SarifFolder& folder,
                             const std::vector<ParsedFile>& files = {});

}  // namespace perrev
